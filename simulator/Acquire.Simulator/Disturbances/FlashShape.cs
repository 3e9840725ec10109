namespace Acquire.Simulator;

/// <summary>When and how a flash shows, as disturbances have it.</summary>
internal sealed class FlashShape(SimulatorOptions options)
{
    // How much of its delay a late flash comes sooner or later.
    private const double DelayScatter = 0.15;

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
        return endSeconds + (late.StrengthOrUsual / 1000 * (1 + (DelayScatter * share)));
    }

    /// <summary>The flash as it shows, and what follows it.</summary>
    /// <param name="onsetSeconds">Its first moment, s.</param>
    /// <param name="usualSigmas">Its usual height with its scatter, sigma.</param>
    public IEnumerable<FlashPulse> Shown(double onsetSeconds, double usualSigmas)
    {
        var scene = options.Scene;
        var weak = options.Disturbances.At(DisturbanceKind.WeakFlash, onsetSeconds);
        var sigmas = weak is null ? usualSigmas : usualSigmas / scene.FlashSigma * weak.StrengthOrUsual;
        yield return new FlashPulse(onsetSeconds, sigmas, scene.FlashTailSeconds);
        if (options.Disturbances.At(DisturbanceKind.DoubleFlash, onsetSeconds) is { } twice)
        {
            yield return new FlashPulse(onsetSeconds + (twice.StrengthOrUsual / 1000), sigmas * random.Between(0.5, 1), scene.FlashTailSeconds);
        }
    }

    /// <summary>Width of a halo at half height, s.</summary>
    public double HaloWidth(double usualSeconds, double seconds) => options.Disturbances.At(DisturbanceKind.FastHalo, seconds) is { } fast
        ? usualSeconds / fast.StrengthOrUsual
        : usualSeconds;
}
