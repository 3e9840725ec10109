namespace Acquire.Service.Sources;

/// <summary>Waits between attempts: doubling, capped, with jitter so that many sources do not come back in step.</summary>
public sealed class Backoff
{
    /// <summary>Shortest wait, s.</summary>
    public const double ShortestSeconds = 0.2;

    /// <summary>Longest wait where nothing else is said, s.</summary>
    public const double LongestSeconds = 5;

    private const int MostDoublings = 10;
    private readonly Random _random;
    private readonly double _longestSeconds;
    private int _attempts;

    /// <param name="random">Source of the jitter.</param>
    /// <param name="longestSeconds">Longest wait, s.</param>
    public Backoff(Random random, double longestSeconds = LongestSeconds) => (_random, _longestSeconds) = (random, longestSeconds);

    /// <summary>The next wait: anything from the shortest to the doubled one.</summary>
    public TimeSpan Next()
    {
        _attempts = Math.Min(_attempts + 1, MostDoublings);
        var ceiling = Math.Min(_longestSeconds, ShortestSeconds * Math.Pow(2, _attempts));
        return TimeSpan.FromSeconds(ShortestSeconds + (_random.NextDouble() * (ceiling - ShortestSeconds)));
    }

    /// <summary>Starts again from the shortest wait, after something worked.</summary>
    public void Reset() => _attempts = 0;
}
