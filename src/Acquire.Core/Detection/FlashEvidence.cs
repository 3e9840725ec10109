namespace Acquire.Core.Detection;

/// <summary>The strongest sudden ignition that a stretch of detector readings could hold.</summary>
/// <param name="OnsetSeconds">Most likely onset, s.</param>
/// <param name="Height">Estimated height, detector's unit.</param>
/// <param name="HeightUncertainty">Standard uncertainty of the height, detector's unit.</param>
/// <param name="Shape">Which of the <see cref="FlashShapes"/> fitted best.</param>
/// <param name="Significance">Root of twice the logarithm of the likelihood ratio of an ignition to none, in standard deviations; 0 where none is likelier.</param>
public readonly record struct FlashEvidence(double OnsetSeconds, double Height, double HeightUncertainty, int Shape, double Significance);

/// <summary>What a stretch of readings is asked.</summary>
/// <param name="Window">Readings above the baseline, spikes removed.</param>
/// <param name="Noise">Quiet detector.</param>
/// <param name="LeastNoise">The part of the noise without memory is not taken to be below this deviation, detector's unit; 0 or above.</param>
/// <param name="SlowHeight">Largest height of what is slow, detector's unit; above 0.</param>
/// <param name="From">Earliest onset, s.</param>
/// <param name="To">Latest onset, s.</param>
/// <param name="Highest">No flash can be higher than this, detector's unit.</param>
/// <param name="Linger">What is left at the end of the window, detector's unit: burning cannot be much higher.</param>
internal readonly record struct FlashQuestion(
    DetectorStretch Window, NoiseSpectrum Noise, double LeastNoise, double SlowHeight, double From, double To, double Highest, double Linger)
{
    /// <summary>The course learnt from the passes before, detector's unit over s; null where there is none.</summary>
    public Func<double, double>? Known { get; init; }

    /// <summary>From here on the flame is gone, s; positive infinity where that is not known.</summary>
    public double LateFrom { get; init; } = double.PositiveInfinity;

    /// <summary>Share of one pass's noise that is left in that course, as a variance.</summary>
    public double KnownShare { get; init; }
}
