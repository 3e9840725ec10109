namespace Acquire.Core.Detection;

/// <summary>What the detector does when nothing happens, learnt from the same run's quiet stretches.</summary>
/// <param name="Baseline">Median value, detector's unit.</param>
/// <param name="White">Standard deviation of the part that changes from reading to reading.</param>
/// <param name="Effective">Standard deviation of white noise that would be as strong at the length of a flash; not below <paramref name="White"/>.</param>
/// <param name="Smooth">Standard deviation about a straight line, slow parts included, for means over <see cref="SmoothSeconds"/>.</param>
/// <param name="Readings">Readings it rests on.</param>
public readonly record struct IdleNoise(double Baseline, double White, double Effective, double Smooth, int Readings)
{
    /// <summary>Fewest readings that an estimate may rest on.</summary>
    public const int FewestReadings = 8;

    /// <summary>Width of the mean that heights are compared in, well below the length of a flash, s.</summary>
    public const double SmoothSeconds = 0.05;

    /// <summary>Learns from a quiet stretch; null where it holds too few readings.</summary>
    public static IdleNoise? From(DetectorStretch quiet)
    {
        return new IdleLearner().Learn(quiet.Times, quiet.Values);
    }
}
