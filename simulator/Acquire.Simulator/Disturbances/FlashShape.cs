namespace Acquire.Simulator;

/// <summary>When and how a flash shows, as disturbances have it.</summary>
internal sealed class FlashShape(SimulatorOptions options)
{
    // How much of its delay a late flash comes sooner or later.
    private const double DelayScatter = 0.15;

    /// <summary>Which flashes were changed, and when they began.</summary>
    public List<DisturbanceEvent> Events { get; } = [];

    private readonly SimulatorRandom random = new(options.Seed, RandomPurpose.SecondFlashes);

    /// <summary>The first moment of a flash, s.</summary>
    /// <param name="usualSeconds">Where it would be.</param>
    /// <param name="middleSeconds">When the flame is over the middle.</param>
    /// <param name="endSeconds">When the flame leaves.</param>
    public double Onset(double usualSeconds, double middleSeconds, double endSeconds)
    {
        if (options.Disturbances.At(DisturbanceKind.LateFlash, middleSeconds) is not { } late)
        {
            return usualSeconds;
        }

        // The number that was drawn for the usual place says how much sooner or later this one is: no other number is needed.
        var share = (usualSeconds - middleSeconds) / (endSeconds - middleSeconds);
        var onset = endSeconds + (late.StrengthOrUsual / 1000 * (1 + (DelayScatter * share)));
        Events.Add(new(DisturbanceKind.LateFlash, onset));
        return onset;
    }

    /// <summary>The flash as it shows, and what follows it.</summary>
    /// <param name="onsetSeconds">Its first moment, s.</param>
    /// <param name="usualSigmas">Its usual height with its scatter, sigma.</param>
    public IReadOnlyList<FlashPulse> Shown(double onsetSeconds, double usualSigmas)
    {
        var scene = options.Scene;
        var weak = options.Disturbances.At(DisturbanceKind.WeakFlash, onsetSeconds);
        var sigmas = weak is null ? usualSigmas : usualSigmas / scene.FlashSigma * weak.StrengthOrUsual;
        var shown = new List<FlashPulse> { new(onsetSeconds, sigmas, scene.FlashTailSeconds) };
        if (weak is not null)
        {
            Events.Add(new(DisturbanceKind.WeakFlash, onsetSeconds));
        }

        if (options.Disturbances.At(DisturbanceKind.DoubleFlash, onsetSeconds) is { } twice)
        {
            var again = onsetSeconds + (twice.StrengthOrUsual / 1000);
            Events.Add(new(DisturbanceKind.DoubleFlash, again));
            shown.Add(new(again, sigmas * random.Between(0.5, 1), scene.FlashTailSeconds));
        }

        return shown;
    }

    /// <summary>Width of a halo at half height, s.</summary>
    public double HaloWidth(double usualSeconds, double seconds)
    {
        if (options.Disturbances.At(DisturbanceKind.FastHalo, seconds) is not { } fast)
        {
            return usualSeconds;
        }

        Events.Add(new(DisturbanceKind.FastHalo, seconds));
        return usualSeconds / fast.StrengthOrUsual;
    }
}
