namespace Acquire.Service.Archive.Influx.Sending;

/// <summary>How long to wait after trouble: with full jitter, so that many services do not come back in step, and never less than the server asked for.</summary>
/// <param name="random">Source of the jitter.</param>
internal sealed class OutboxPace(Random random)
{
    /// <summary>Longest wait after trouble that may pass by itself, s.</summary>
    public const double LongestSeconds = 60;

    /// <summary>Shortest wait where a person has to help, s; up to twice as long.</summary>
    public const double RefusedSeconds = 30;

    /// <summary>Longest wait that a server can ask for, s: a wrong clock must not silence us for a day.</summary>
    public const double LongestAskedSeconds = 300;

    private const double FirstSeconds = 1;
    private const int MostDoublings = 10;

    private int _troubles;

    /// <summary>The wait after one more trouble.</summary>
    public TimeSpan After(WriteAnswer trouble)
    {
        ArgumentNullException.ThrowIfNull(trouble);
        var ceiling = Math.Min(LongestSeconds, FirstSeconds * Math.Pow(2, _troubles));
        _troubles = Math.Min(_troubles + 1, MostDoublings);
        var own = trouble.Outcome == WriteOutcome.Refused ? RefusedSeconds * (1 + random.NextDouble()) : ceiling * random.NextDouble();
        var asked = Math.Min(trouble.RetryAfter?.TotalSeconds ?? 0, LongestAskedSeconds);

        // Behind what the server asked for there is jitter too: it has asked others for the same.
        return TimeSpan.FromSeconds(asked > 0 ? Math.Max(own, asked + random.NextDouble()) : own);
    }

    /// <summary>Starts again from the shortest wait, after something worked.</summary>
    public void Reset() => _troubles = 0;
}
