using Acquire.Core.Detection;

namespace Acquire.Benchmarks.Campaigns;

/// <summary>Tells whether the rate is above or below its band, reading by reading.</summary>
internal abstract class RampRival
{
    /// <summary>Takes a reading; whether it calls now.</summary>
    public abstract bool Take(double seconds, double celsius);
}

/// <summary>The watch in use.</summary>
/// <param name="limit">End of the band, °C/min.</param>
/// <param name="side">1: above is outside; −1: below.</param>
/// <param name="flameAt">When a flame was over the cup last, s, at a time; null where nothing is known of it.</param>
internal sealed class WatchRival(double limit, int side, Func<double, double>? flameAt = null) : RampRival
{
    private readonly RampEstimator _ramp = new();
    private readonly BandWatch _watch = new();

    public override bool Take(double seconds, double celsius) =>
        _ramp.Add(seconds, celsius)
        && _watch.Look(_ramp, double.NegativeInfinity, side < 0 ? limit : double.NegativeInfinity, side > 0 ? limit : double.PositiveInfinity, 0.1, flameAt?.Invoke(seconds) ?? double.NegativeInfinity) is not null;
}

/// <summary>A line through the last seconds and nothing else; with the rate it is going to have if it goes on growing.</summary>
internal sealed class WindowRival(double limit) : RampRival
{
    private const double WindowSeconds = 12;

    // As it was until there was a test for turns.
    private const double BinSeconds = 0.25;

    private readonly List<(double X, double Y)> _points = [];
    private double _binStart;
    private double _x;
    private double _y;
    private int _count;

    /// <summary>Calls so far above the limit, °C/min; null: the tolerance of 0.1 or 2.5 times the uncertainty.</summary>
    public double? Margin { get; init; }

    /// <summary>Calls too where the rate grows by so many deviations and is going to be above the limit in 12 s; not a number: does not.</summary>
    public double Growth { get; init; } = double.NaN;

    public override bool Take(double seconds, double celsius)
    {
        var completed = _count > 0 && seconds - _binStart >= BinSeconds;
        if (completed)
        {
            _points.Add((_x / _count, _y / _count));
            _count = 0;
        }

        if (_count == 0)
        {
            (_binStart, _x, _y) = (seconds, 0, 0);
        }

        (_x, _y, _count) = (_x + seconds, _y + celsius, _count + 1);
        return completed && Calls();
    }

    private bool Calls()
    {
        var newest = _points[^1].X;
        if (newest - _points[0].X < WindowSeconds)
        {
            return false;
        }

        var (rate, u, centre) = Line(newest - WindowSeconds, newest);
        if (rate > limit + (Margin ?? Math.Max(0.1, 2.5 * u)))
        {
            return true;
        }

        if (double.IsNaN(Growth) || newest - _points[0].X < 2 * WindowSeconds || rate <= limit - 0.5)
        {
            return false;
        }

        // The growth from one window to the next, sure by so many deviations, 12 s ahead.
        var (before, uBefore, centreBefore) = Line(newest - (2 * WindowSeconds), newest - WindowSeconds);
        return rate - before > Growth * Math.Sqrt((u * u) + (uBefore * uBefore))
            && rate + ((rate - before) / (centre - centreBefore) * (newest + 12 - centre)) > limit + 0.1;
    }

    private (double Rate, double Uncertainty, double Centre) Line(double from, double to)
    {
        double n = 0, x = 0, y = 0, xx = 0, xy = 0, yy = 0;
        for (var i = _points.Count - 1; i >= 0 && _points[i].X >= from; i--)
        {
            var (dx, dy) = (_points[i].X - to, _points[i].Y - _points[^1].Y);
            if (dx <= 0)
            {
                (n, x, y, xx, xy, yy) = (n + 1, x + dx, y + dy, xx + (dx * dx), xy + (dx * dy), yy + (dy * dy));
            }
        }

        var spread = xx - (x * x / n);
        var slope = (xy - (x * y / n)) / spread;
        var left = Math.Max(0, yy - (y * y / n) - (slope * (xy - (x * y / n)))) / (n - 2);
        return (slope * 60, Math.Sqrt(left / spread) * 60, to + (x / n));
    }
}
