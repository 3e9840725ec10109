namespace Acquire.Simulator;

/// <summary>When the air moves, and how the test flame flickers in it.</summary>
internal static class Gusts
{
    // A gust, the pause after it, and how long a gust takes to come and to go, s; assumed.
    private const double BriefestSeconds = 2, LongestSeconds = 6, LongestPauseSeconds = 6, EaseSeconds = 0.5;

    /// <summary>The gusts of a run; none without such a disturbance.</summary>
    public static IEnumerable<Pulse> Draw(SimulatorOptions options, double endSeconds)
    {
        var random = new SimulatorRandom(options.Seed, RandomPurpose.Gusts);
        foreach (var draught in options.Disturbances.Of(DisturbanceKind.Draught))
        {
            for (var at = draught.From; at < Math.Min(draught.To, endSeconds);)
            {
                var until = Math.Min(draught.To, at + random.Between(BriefestSeconds, LongestSeconds));
                yield return new DraughtPulse(at, until, draught.StrengthOrUsual, Waves.Draw(random, 3, 1, 4, 1), EaseSeconds);
                at = until + random.Between(0, LongestPauseSeconds);
            }
        }
    }
}
