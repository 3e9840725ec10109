namespace Acquire.Core.Control;

/// <summary>Carries the readings' own time on between readings, by the service's monotonic clock.</summary>
/// <remarks>
/// Readings come with different delays; the one with the smallest tells best what time it is at the tester. The estimate may be
/// taken back by 2 ms in a second, so that a tester's clock that is a little slow is followed; it never runs backwards.
/// </remarks>
internal sealed class RunAxis
{
    private const double LeakPerSecond = 0.002;

    private double _offset = double.NaN;
    private double _at;

    /// <summary>A reading came.</summary>
    /// <param name="readingSeconds">Its own time, s.</param>
    /// <param name="nowSeconds">The service's clock, s.</param>
    public void Read(double readingSeconds, double nowSeconds)
    {
        var offset = readingSeconds - nowSeconds;
        var carried = _offset - (LeakPerSecond * Math.Max(0, nowSeconds - _at));
        _offset = double.IsNaN(_offset) ? offset : Math.Max(offset, carried);
        _at = nowSeconds;
    }

    /// <summary>The time on the readings' axis now, s; 0 before the first reading.</summary>
    public double At(double nowSeconds) => double.IsNaN(_offset) ? 0 : nowSeconds + _offset;
}
