namespace Acquire.Service.Lanes.Starting;

/// <summary>Follows a tester's own time and notices when it starts again.</summary>
internal sealed class DeviceClock
{
    /// <summary>A smaller step back is jitter of one record, a larger one a new time axis, s.</summary>
    public const double LargestJitterSeconds = 1;

    private double? _newest;

    /// <summary>Newest time, s on the tester's own axis; null before the first row.</summary>
    public double? NewestSeconds => _newest;

    /// <summary>Takes the time of the next row. True where a time axis begins with it: the first row ever, or a step back by more than a second.</summary>
    public bool Begins(double atSeconds)
    {
        var begins = _newest is not { } newest || atSeconds < newest - LargestJitterSeconds;
        _newest = atSeconds;
        return begins;
    }
}
