using System.Buffers;

namespace Acquire.Core.Detection;

/// <summary>The strongest sudden ignition that a stretch of detector readings could hold.</summary>
/// <param name="OnsetSeconds">Most likely onset, s.</param>
/// <param name="Height">Estimated height, detector's unit.</param>
/// <param name="HeightUncertainty">Standard uncertainty of the height, detector's unit.</param>
/// <param name="Shape">Which of the <see cref="FlashShapes"/> fitted best.</param>
public readonly record struct FlashEvidence(double OnsetSeconds, double Height, double HeightUncertainty, int Shape)
{
    /// <summary>Height over its uncertainty.</summary>
    public double Significance => Height / HeightUncertainty;
}

/// <summary>Generalised likelihood-ratio test for a sudden ignition at an unknown time in a window around an application.</summary>
/// <remarks>
/// The readings are modelled as offset + drift + a smooth, slow process of unknown course + white noise, and possibly one
/// flash. The slow process has the squared-exponential covariance a²·exp(-Δt²/2ℓ²) with ℓ = <see cref="SlowSeconds"/>; it
/// stands for the warmth of the pass and for the halo, whatever their course, as long as they are slower than a flash. With
/// C the covariance of all of it, the test statistic for shape s is sᵀC⁻¹y/√(sᵀC⁻¹s): the matched filter for Gaussian
/// nuisance (Kay, Fundamentals of Statistical Signal Processing II, chapter 4 and 7), maximised over onset and shape.
/// </remarks>
internal static class FlashTest
{
    /// <summary>Correlation time of what is slow: a Gaussian halo of this deviation is about half a second wide, s.</summary>
    public const double SlowSeconds = 0.2;

    private const int MostPoints = 200;
    private const double OnsetStepSeconds = 0.01;

    // White noise below this share of the slow process is lost in the rounding of the covariance.
    private const double LeastWhite = 1e-5;

    /// <summary>Tests a window.</summary>
    /// <param name="window">Readings, spikes removed.</param>
    /// <param name="white">White noise of one reading, detector's unit; above 0.</param>
    /// <param name="slowHeight">Prior height of the slow process, detector's unit; above 0.</param>
    /// <param name="from">Earliest onset, s.</param>
    /// <param name="to">Latest onset, s.</param>
    /// <param name="highest">No flash can be higher than this, detector's unit.</param>
    /// <param name="linger">What is left at the end of the window, detector's unit: burning cannot be much higher.</param>
    /// <param name="known">A course learnt from the passes before, of unknown size; null where there is none.</param>
    /// <returns>The strongest candidate; null where the window holds too few readings, or none that numbers can carry.</returns>
    public static FlashEvidence? Run(DetectorStretch window, double white, double slowHeight, double from, double to, double highest, double linger, Func<double, double>? known)
    {
        var (points, weights) = window.Binned(MostPoints);
        var n = points.Times.Length;
        if (n < IdleNoise.FewestReadings)
        {
            return null;
        }

        // Everything in units of the slow process: squares then neither overflow nor vanish, whatever the detector's unit.
        var values = Array.ConvertAll(points.Values, value => value / slowHeight);
        var spacing = points.MedianSpacingSeconds();
        var least = Math.Max(white / slowHeight, LeastWhite);

        // Some hundred thousand bytes for each pass: fresh ones would each cost a cleared page and a collection of all memory.
        var inverse = ArrayPool<double>.Shared.Rent(n * n);
        try
        {
            Covariance(inverse, points.Times, weights, least, slowHeight, known);
            return SymmetricInverse.TryInvert(inverse.AsSpan(0, n * n), n)
                && Strongest(points.Times, inverse, Weighted(inverse, values), spacing, from, to, highest / slowHeight, linger / slowHeight) is { } found
                ? found with { Height = found.Height * slowHeight, HeightUncertainty = found.HeightUncertainty * slowHeight }
                : null;
        }
        finally
        {
            ArrayPool<double>.Shared.Return(inverse);
        }
    }

    private static double[] Weighted(double[] inverse, double[] values)
    {
        var n = values.Length;
        var weighted = new double[n];
        for (var i = 0; i < n; i++)
        {
            weighted[i] = SymmetricInverse.Dot(inverse.AsSpan(i * n, n), values);
        }

        return weighted;
    }

    private static FlashEvidence? Strongest(double[] times, double[] inverse, double[] weighted, double spacing, double from, double to, double highest, double linger)
    {
        FlashEvidence? best = null;
        var shape = new double[times.Length];
        var burning = new BurnTest(times, inverse, weighted);
        for (var which = 0; which < FlashShapes.Count; which++)
        {
            for (var onset = from; onset <= to; onset += OnsetStepSeconds)
            {
                var evidence = which == FlashShapes.Burning ? burning.At(onset, spacing) : Evidence(times, inverse, weighted, shape, which, onset, spacing);
                if (evidence is { } found
                    && found.Height <= (which == FlashShapes.Burning ? Math.Min(highest, 2 * linger) : highest)
                    && (best is null || found.Significance > best.Value.Significance))
                {
                    best = found;
                }
            }
        }

        return best;
    }

    private static FlashEvidence? Evidence(double[] times, double[] inverse, double[] weighted, double[] shape, int which, double onset, double spacing)
    {
        var n = times.Length;
        var first = Array.BinarySearch(times, onset);
        first = first < 0 ? ~first : first;
        var last = onset + FlashShapes.SupportSeconds(which, spacing);
        var end = first;
        double projection = 0;
        for (; end < n && times[end] < last; end++)
        {
            shape[end] = FlashShapes.At(which, times[end] - onset, spacing);
            projection += shape[end] * weighted[end];
        }

        // Where nothing points upwards the costly part is spared.
        if (end - first < 1 || !(projection > 0))
        {
            return null;
        }

        double norm = 0;
        var support = shape.AsSpan(first, end - first);
        for (var i = first; i < end; i++)
        {
            norm += shape[i] * SymmetricInverse.Dot(inverse.AsSpan((i * n) + first, end - first), support);
        }

        return !(norm > 0) ? null : new FlashEvidence(onset, projection / norm, 1 / Math.Sqrt(norm), which);
    }

    // In units of the slow process, whose own height is therefore 1.
    private static void Covariance(double[] c, double[] times, int[] weights, double white, double slowHeight, Func<double, double>? known)
    {
        var n = times.Length;
        var middle = (times[0] + times[^1]) / 2;

        // Offset and drift are free: ten times the height of anything slow, and as much per second.
        const double free = 100;
        var course = known is null ? null : Array.ConvertAll(times, time => known(time) / slowHeight);

        // The known course may come earlier or later by some 40 ms: its derivative is free to that extent.
        var shift = known is null ? [] : Array.ConvertAll(times, time => (known(time + 0.04) - known(time - 0.04)) / slowHeight);
        for (var i = 0; i < n; i++)
        {
            for (var j = 0; j <= i; j++)
            {
                var apart = (times[i] - times[j]) / SlowSeconds;
                var value = Math.Exp(-0.5 * apart * apart) + (free * (1 + ((times[i] - middle) * (times[j] - middle))));
                value += course is null ? 0 : (9 * course[i] * course[j]) + (shift[i] * shift[j]);
                c[(i * n) + j] = value;
                c[(j * n) + i] = value;
            }

            c[(i * n) + i] += white * white / weights[i];
        }
    }
}
