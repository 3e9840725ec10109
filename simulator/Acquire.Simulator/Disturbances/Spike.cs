namespace Acquire.Simulator;

/// <summary>One wild reading.</summary>
/// <param name="Seconds">When, s.</param>
/// <param name="Sigmas">By how much, sigma.</param>
internal readonly record struct Spike(double Seconds, double Sigmas)
{
    private const double LeastSigma = 10, MostSigma = 40;

    /// <summary>The wild readings of a detector, in order of time; none without such a disturbance.</summary>
    public static IReadOnlyList<Spike> Draw(SimulatorOptions options, double endSeconds, bool isSecond)
    {
        var drawn = new List<Spike>();
        var random = new SimulatorRandom(options.Seed, isSecond ? RandomPurpose.SecondSpikes : RandomPurpose.Spikes);
        foreach (var wild in options.Disturbances.Of(DisturbanceKind.Spikes))
        {
            for (var at = wild.From + random.Wait(wild.StrengthOrUsual); at < Math.Min(wild.To, endSeconds); at += random.Wait(wild.StrengthOrUsual))
            {
                drawn.Add(new(at, random.Between(LeastSigma, MostSigma) * (random.NextUnit() < 0.5 ? -1 : 1)));
            }
        }

        return [.. drawn.OrderBy(spike => spike.Seconds)];
    }
}
