namespace Acquire.Core.Detection;

/// <summary>What the detector does when nothing happens, learnt from the same run's quiet stretches.</summary>
/// <param name="Baseline">Median value, detector's unit.</param>
/// <param name="White">Standard deviation of the part that changes from reading to reading.</param>
/// <param name="Effective">Standard deviation of white noise that would be as strong at the length of a flash; not below <paramref name="White"/>.</param>
/// <param name="Scatter">Standard deviation about a straight line, slow parts included; not below <paramref name="White"/>.</param>
/// <param name="Smooth">The same for means over <see cref="SmoothSeconds"/>.</param>
/// <param name="Readings">Readings it rests on.</param>
public sealed record IdleNoise(double Baseline, double White, double Effective, double Scatter, double Smooth, int Readings)
{
    /// <summary>Fewest readings that an estimate may rest on.</summary>
    public const int FewestReadings = 8;

    /// <summary>Width of the mean that heights are compared in, well below the length of a flash, s.</summary>
    public const double SmoothSeconds = 0.05;

    /// <summary>Learns from a quiet stretch; null where it holds too few readings.</summary>
    public static IdleNoise? From(DetectorStretch quiet)
    {
        var n = quiet.Values.Length;
        if (n < FewestReadings)
        {
            return null;
        }

        var steps = new double[n - 1];
        for (var i = 0; i < steps.Length; i++)
        {
            steps[i] = quiet.Values[i + 1] - quiet.Values[i];
        }

        // The difference of two readings with independent noise has twice its variance.
        var white = Robust.Scale(steps) / Math.Sqrt(2);
        var baseline = Robust.Median(quiet.Values);
        var (residuals, slope) = Detrended(quiet);
        var scatter = Robust.Scale(residuals);

        // A drift must not look like a stir before the baseline is learnt again a second later.
        var means = quiet.Smoothed(SmoothSeconds);
        var inMean = Math.Max(1, SmoothSeconds / Math.Max(quiet.MedianSpacingSeconds(), 1e-6));
        var smooth = Math.Max(Robust.Scale(Detrended(means).Residuals), Math.Max(white / Math.Sqrt(inMean), Math.Abs(slope) / 2));
        var effective = Math.Max(white, Blinking(means) * Math.Sqrt(inMean));
        return new IdleNoise(baseline, white, effective, Math.Max(white, scatter), smooth, n);
    }

    // Noise with a memory is stronger at the length of a flash than its steps from reading to reading tell:
    // short means a tenth of a second apart show it, without what is slower still.
    private static double Blinking(DetectorStretch means)
    {
        const double ApartSeconds = 0.1 - DetectorHistory.RoundingSeconds;
        var steps = new List<double>(means.Values.Length);
        var later = 0;
        for (var i = 0; i < means.Values.Length; i++)
        {
            while (later < means.Values.Length && means.Times[later] < means.Times[i] + ApartSeconds)
            {
                later++;
            }

            if (later < means.Values.Length)
            {
                steps.Add(means.Values[later] - means.Values[i]);
            }
        }

        return Robust.Scale(System.Runtime.InteropServices.CollectionsMarshal.AsSpan(steps)) / Math.Sqrt(2);
    }

    private static (double[] Residuals, double Slope) Detrended(DetectorStretch quiet)
    {
        // Slope from the medians of the outer thirds: a spike or two cannot tilt it.
        var third = quiet.Values.Length / 3;
        var early = Robust.Median(quiet.Values.AsSpan(0, third));
        var late = Robust.Median(quiet.Values.AsSpan(quiet.Values.Length - third));
        var earlyTime = Robust.Median(quiet.Times.AsSpan(0, third));
        var lateTime = Robust.Median(quiet.Times.AsSpan(quiet.Times.Length - third));
        var slope = lateTime > earlyTime ? (late - early) / (lateTime - earlyTime) : 0;
        var residuals = new double[quiet.Values.Length];
        for (var i = 0; i < residuals.Length; i++)
        {
            residuals[i] = quiet.Values[i] - early - (slope * (quiet.Times[i] - earlyTime));
        }

        var middle = Robust.Median(residuals);
        for (var i = 0; i < residuals.Length; i++)
        {
            residuals[i] -= middle;
        }

        return (residuals, slope);
    }
}
