namespace Acquire.Core.Detection;

/// <summary>The strongest sudden ignition that a stretch of detector readings could hold.</summary>
/// <param name="OnsetSeconds">Most likely onset, s.</param>
/// <param name="Height">Estimated height, detector's unit.</param>
/// <param name="HeightUncertainty">Standard uncertainty of the height, detector's unit.</param>
/// <param name="Shape">Which of the <see cref="FlashShapes"/> fitted best.</param>
/// <param name="Significance">Root of twice the logarithm of the likelihood ratio of an ignition to none, in standard deviations; 0 where none is likelier.</param>
public readonly record struct FlashEvidence(double OnsetSeconds, double Height, double HeightUncertainty, int Shape, double Significance);

/// <summary>What a stretch of readings is asked.</summary>
/// <param name="window">Readings above the baseline, spikes removed.</param>
/// <param name="noise">Quiet detector.</param>
/// <param name="leastNoise">The part of the noise without memory is not taken to be below this deviation, detector's unit; 0 or above.</param>
/// <param name="slowHeight">Largest height of what is slow, detector's unit; above 0.</param>
/// <param name="from">Earliest onset, s.</param>
/// <param name="to">Latest onset, s.</param>
/// <param name="highest">No flash can be higher than this, detector's unit.</param>
/// <param name="linger">What is left at the end of the window, detector's unit: burning cannot be much higher.</param>
internal readonly ref struct FlashQuestion(
    DetectorStretch window, NoiseSpectrum noise, double leastNoise, double slowHeight, double from, double to, double highest, double linger)
{
    /// <summary>Readings above the baseline, spikes removed.</summary>
    public DetectorStretch Window { get; init; } = window;

    /// <summary>Quiet detector.</summary>
    public NoiseSpectrum Noise { get; init; } = noise;

    /// <summary>The part of the noise without memory is not taken to be below this deviation, detector's unit; 0 or above.</summary>
    public double LeastNoise { get; init; } = leastNoise;

    /// <summary>Largest height of what is slow, detector's unit; above 0.</summary>
    public double SlowHeight { get; init; } = slowHeight;

    /// <summary>Earliest onset, s.</summary>
    public double From { get; init; } = from;

    /// <summary>Latest onset, s.</summary>
    public double To { get; init; } = to;

    /// <summary>No flash can be higher than this, detector's unit.</summary>
    public double Highest { get; init; } = highest;

    /// <summary>What is left at the end of the window, detector's unit: burning cannot be much higher.</summary>
    public double Linger { get; init; } = linger;

    /// <summary>The course learnt from the passes before; null where there is none.</summary>
    public PassCourse? Known { get; init; }

    /// <summary>From here on the flame is gone, s; positive infinity where that is not known.</summary>
    public double LateFrom { get; init; } = double.PositiveInfinity;

    /// <summary>Share of one pass's noise that is left in that course, as a variance.</summary>
    public double KnownShare { get; init; }
}
