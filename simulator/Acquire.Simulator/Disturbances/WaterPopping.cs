namespace Acquire.Simulator;

/// <summary>Drops of water that sink under hot oil and turn to steam all at once.</summary>
internal sealed class WaterPopping
{
    private const double UsualPerSecond = 0.2, BoilsAboveCelsius = 100;

    // 0.01 to 0.04 g at 2.26 kJ/g (handbook value) within half a second.
    private const double LeastJoules = 20, MostJoules = 90, TakesSeconds = 0.5;

    private const double BriefestSeconds = 0.02, LongestSeconds = 0.06, LeastSigma = 8, MostSigma = 40;

    private readonly Disturbance[] all;
    private readonly SimulatorRandom random;
    private double nextSeconds = double.NaN;
    private double watts;
    private double untilSeconds;

    public WaterPopping(SimulatorOptions options)
    {
        all = options.Disturbances.Of(DisturbanceKind.WaterPopping);
        random = new(options.Seed, RandomPurpose.Water);
    }

    /// <summary>What the detectors see of each.</summary>
    public List<PopPulse> Pops { get; } = [];

    /// <summary>Heat that steam takes from the oil now, W.</summary>
    public double Watts(double seconds, double oilCelsius)
    {
        if (all.Length == 0)
        {
            return 0;
        }

        if (all.At(DisturbanceKind.WaterPopping, seconds) is not { } wet || oilCelsius < BoilsAboveCelsius)
        {
            nextSeconds = double.NaN;
        }
        else if (double.IsNaN(nextSeconds))
        {
            nextSeconds = seconds + random.Wait(UsualPerSecond * wet.StrengthOrUsual);
        }
        else if (seconds >= nextSeconds)
        {
            Pops.Add(new(nextSeconds, random.Between(BriefestSeconds, LongestSeconds), random.Between(LeastSigma, MostSigma)));
            (watts, untilSeconds) = (random.Between(LeastJoules, MostJoules) / TakesSeconds, seconds + TakesSeconds);
            nextSeconds = seconds + random.Wait(UsualPerSecond * wet.StrengthOrUsual);
        }

        return seconds < untilSeconds ? watts : 0;
    }
}

/// <summary>A burst of steam and spray: up at once, over after some hundredths of a second.</summary>
internal sealed class PopPulse(double fromSeconds, double lengthSeconds, double sigmas) : Pulse(fromSeconds, fromSeconds + lengthSeconds)
{
    public override double At(double seconds) => sigmas;
}
