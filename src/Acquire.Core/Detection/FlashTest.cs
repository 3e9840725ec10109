using System.Buffers;

namespace Acquire.Core.Detection;

/// <summary>The strongest sudden ignition that a stretch of detector readings could hold.</summary>
/// <param name="OnsetSeconds">Most likely onset, s.</param>
/// <param name="Height">Estimated height, detector's unit.</param>
/// <param name="HeightUncertainty">Standard uncertainty of the height, detector's unit.</param>
/// <param name="Shape">Which of the <see cref="FlashShapes"/> fitted best.</param>
/// <param name="Significance">Root of twice the logarithm of the likelihood ratio of flash to none, in standard deviations; 0 where none is likelier.</param>
public readonly record struct FlashEvidence(double OnsetSeconds, double Height, double HeightUncertainty, int Shape, double Significance);

/// <summary>What a stretch of readings is asked.</summary>
/// <param name="Window">Readings above the baseline, spikes removed.</param>
/// <param name="Noise">Quiet detector.</param>
/// <param name="LeastWhite">White noise is not taken to be below this, detector's unit; above 0.</param>
/// <param name="SlowHeight">Largest height of what is slow, detector's unit; above 0.</param>
/// <param name="From">Earliest onset, s.</param>
/// <param name="To">Latest onset, s.</param>
/// <param name="Highest">No flash can be higher than this, detector's unit.</param>
/// <param name="Linger">What is left at the end of the window, detector's unit: burning cannot be much higher.</param>
/// <param name="Known">A course learnt from the passes before; null where there is none.</param>
internal readonly record struct FlashQuestion(
    DetectorStretch Window, NoiseSpectrum Noise, double LeastWhite, double SlowHeight, double From, double To, double Highest, double Linger, Func<double, double>? Known);

/// <summary>Generalised likelihood-ratio test for a sudden ignition at an unknown time in a window around an application.</summary>
internal static class FlashTest
{
    /// <summary>Correlation time of what is slow: a Gaussian halo of this deviation is about half a second wide, s.</summary>
    public const double SlowSeconds = 0.2;

    private const int MostPoints = 200;
    private const double OnsetStepSeconds = 0.01;

    // White noise below this share of the slow process is lost in the rounding of the covariance.
    private const double LeastWhite = 1e-5;

    /// <summary>Tests a window.</summary>
    public static FlashEvidence? Run(in FlashQuestion question)
    {
        var (points, weights) = question.Window.Binned(MostPoints);
        var n = points.Times.Length;
        if (n < IdleNoise.FewestReadings)
        {
            return null;
        }

        var unit = question.SlowHeight;
        var values = Array.ConvertAll(points.Values, value => value / unit);
        var known = question.Known is { } course ? points.Times.Select(t => course(t) / unit).ToArray() : null;
        var shift = question.Known is { } moved ? points.Times.Select(t => (moved(t + 0.04) - moved(t - 0.04)) / unit).ToArray() : null;
        if (known is not null)
        {
            for (var i = 0; i < n; i++)
            {
                values[i] -= known[i];
            }
        }

        var scale = Math.Sqrt(question.Noise.White + question.Noise.Covariance(0)) / unit;
        var (best, bestLog, nullLog) = ((FlashEvidence?)null, double.NegativeInfinity, double.NegativeInfinity);
        var c = ArrayPool<double>.Shared.Rent(n * n);
        var uniform = Uniform(points.Times);
        var small = Math.Min(1, SmallSlow * scale);
        for (var h = 0; h < Hypotheses.Length; h++)
        {
            var (slow, length, flick) = Hypotheses[h];
            if (slow < 1 && (known is null || small > 0.5))
            {
                continue;
            }

            slow = slow < 1 ? small : 1;
            Covariance(c, points.Times, weights, uniform, question, slow, length, flick * scale, known, shift);
            if (SymmetricInverse.TryInvert(c.AsSpan(0, n * n), n) is not { } logDeterminant)
            {
                continue;
            }

            var u = Weighted(c, values);
            var none = -0.5 * (SymmetricInverse.Dot(u, values) + logDeterminant);
            nullLog = Math.Max(nullLog, none);
            if (Strongest(points.Times, c, u, points.MedianSpacingSeconds(), question, unit) is { } found)
            {
                var log = none + (0.5 * found.Significance * found.Significance);
                if (log > bestLog)
                {
                    (best, bestLog) = (found, log);
                }

                if (h == 0 && found.Significance < Prefilter)
                {
                    break;
                }
            }
        }

        ArrayPool<double>.Shared.Return(c);
        if (best is not { } strongest)
        {
            return null;
        }

        return strongest with
        {
            Height = strongest.Height * unit,
            HeightUncertainty = strongest.HeightUncertainty * unit,
            Significance = Math.Sqrt(2 * Math.Max(0, bestLog - nullLog)),
        };
    }

    public static (double Slow, double Length, double Flicker)[] Hypotheses = [(1, .2, 0), (1, .13, 0), (0.05, .2, 0), (1, .2, 1), (0.05, .2, 1), (1, .2, 2.5)];

    public static double Prefilter = 3, SmallSlow = 2, FlickerSeconds = 0.1;

    private static bool Uniform(double[] times)
    {
        var spacing = (times[^1] - times[0]) / (times.Length - 1);
        for (var i = 1; i < times.Length; i++)
        {
            if (Math.Abs(times[i] - times[i - 1] - spacing) > 0.1 * spacing)
            {
                return false;
            }
        }

        return true;
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

    private static FlashEvidence? Strongest(double[] times, double[] inverse, double[] weighted, double spacing, in FlashQuestion question, double unit)
    {
        FlashEvidence? best = null;
        var shape = new double[times.Length];
        var burning = new BurnTest(times, inverse, weighted);
        for (var which = 0; which < FlashShapes.Count; which++)
        {
            for (var onset = question.From; onset <= question.To; onset += OnsetStepSeconds)
            {
                var evidence = which == FlashShapes.Burning ? burning.At(onset, spacing) : Evidence(times, inverse, weighted, shape, which, onset, spacing);
                if (evidence is { } found
                    && found.Height * unit <= (which == FlashShapes.Burning ? Math.Min(question.Highest, 2 * question.Linger) : question.Highest)
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

        return !(norm > 0) ? null : new FlashEvidence(onset, projection / norm, 1 / Math.Sqrt(norm), which, projection / Math.Sqrt(norm));
    }

    private static void Covariance(double[] c, double[] times, int[] weights, bool uniform, in FlashQuestion question, double slow, double length, double flicker, double[]? known, double[]? shift)
    {
        var n = times.Length;
        var middle = (times[0] + times[^1]) / 2;
        var unit = question.SlowHeight * question.SlowHeight;
        var white = Math.Max(question.LeastWhite / question.SlowHeight, LeastWhite);
        white = Math.Max(white * white, question.Noise.White / unit);

        // Offset and drift are free: ten times the height of anything slow, and as much per second.
        const double free = 100;
        var table = new double[uniform ? n : 0];
        for (var k = 0; k < table.Length; k++)
        {
            table[k] = Stationary(k * (times[^1] - times[0]) / (n - 1), question, unit, slow, length, flicker);
        }

        for (var i = 0; i < n; i++)
        {
            var row = c.AsSpan(i * n, i + 1);
            var fromMiddle = free * (times[i] - middle);
            for (var j = 0; j <= i; j++)
            {
                var value = uniform ? table[i - j] : Stationary(times[i] - times[j], question, unit, slow, length, flicker);
                row[j] = value + free + (fromMiddle * (times[j] - middle));
            }

            if (known is not null)
            {
                var (k, d) = (0.25 * known[i], shift![i]);
                for (var j = 0; j <= i; j++)
                {
                    row[j] += (k * known[j]) + (d * shift[j]);
                }
            }

            row[i] += white / weights[i];
        }
    }

    private static double Stationary(double lag, in FlashQuestion question, double unit, double slow, double length, double flicker)
    {
        var apart = lag / length;
        var quick = lag / FlickerSeconds;
        return (slow * slow * Math.Exp(-0.5 * apart * apart)) + (flicker * flicker * Math.Exp(-0.5 * quick * quick))
            + ((question.Noise.Covariance(lag) - (0.5 * question.Noise.Walk * lag)) / unit);
    }
}
