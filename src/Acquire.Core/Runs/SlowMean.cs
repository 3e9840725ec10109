namespace Acquire.Core.Runs;

/// <summary>A mean that forgets with time, not with the number of readings. Part of a run's snapshot.</summary>
internal sealed class SlowMean
{
    /// <summary>The mean; null before the first reading.</summary>
    public double? Value { get; set; }

    /// <summary>Time of the newest reading, s.</summary>
    public double ReadAt { get; set; } = double.NegativeInfinity;

    /// <summary>Takes a reading; times go forward. Returns the mean with it.</summary>
    /// <param name="seconds">When, s.</param>
    /// <param name="value">The reading.</param>
    /// <param name="constantSeconds">After this time a reading counts for about a third, s.</param>
    public double Take(double seconds, double value, double constantSeconds)
    {
        var passed = seconds - ReadAt;
        var mean = Value is { } before ? before + (passed / (constantSeconds + passed) * (value - before)) : value;
        (Value, ReadAt) = (mean, seconds);
        return mean;
    }
}
