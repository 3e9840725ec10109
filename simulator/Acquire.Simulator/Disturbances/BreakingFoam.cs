namespace Acquire.Simulator;

/// <summary>Foam on the specimen: it holds vapour back, and lets it go in puffs.</summary>
internal sealed class BreakingFoam
{
    private const double UsualPerSecond = 0.2, UsualHeldBack = 0.06;

    private const double BriefestSeconds = 0.3, LongestSeconds = 1, LeastSigma = 2, MostSigma = 6;

    private readonly Disturbance[] all;
    private readonly SimulatorRandom random;

    public BreakingFoam(SimulatorOptions options)
    {
        all = options.Disturbances.Of(DisturbanceKind.Foam);
        random = new(options.Seed, RandomPurpose.Foam);
    }

    /// <summary>Share of the vapour that a pass finds, 0 to 1.</summary>
    public double Left(double seconds) => all.Length > 0 && all.At(DisturbanceKind.Foam, seconds) is { } foam
        ? 1 - (UsualHeldBack * foam.StrengthOrUsual * random.NextUnit())
        : 1;

    /// <summary>What the detectors see of it; to be asked for once, when the run is over.</summary>
    public IReadOnlyList<BumpPulse> Bumps(double endSeconds)
    {
        var bumps = new List<BumpPulse>();
        foreach (var foam in all)
        {
            var perSecond = UsualPerSecond * foam.StrengthOrUsual;
            for (var at = foam.From + random.Wait(perSecond); at < Math.Min(foam.To, endSeconds); at += random.Wait(perSecond))
            {
                bumps.Add(new(at, random.Between(BriefestSeconds, LongestSeconds), random.Between(LeastSigma, MostSigma)));
            }
        }

        return bumps;
    }
}
