using System.Buffers;

namespace Acquire.Core.Detection;

/// <summary>Generalised likelihood-ratio test for a sudden ignition at an unknown time in a window around an application.</summary>
/// <remarks>
/// For each idea of the nuisance with covariance C the readings have the log-likelihood -(yᵀC⁻¹y + ln|C|)/2 without a flash; a flash of
/// shape s adds z²/2 to it, z = sᵀC⁻¹y/√(sᵀC⁻¹s), the matched filter for Gaussian nuisance (Kay, Fundamentals of Statistical
/// Signal Processing II, chapters 4 and 7). What is compared is the likeliest idea with a flash, over shapes and onsets, and the
/// likeliest without one: a draught is a draught only where the whole window speaks for one.
/// </remarks>
internal static class FlashTest
{
    private const double OnsetStepSeconds = 0.01;

    // Readings so far about an onset tell when it was, s.
    private const double AroundSeconds = 0.45;

    // Below this no other idea of the nuisance makes a flash of it.
    private const double WorthAnotherIdea = 3;

    // Where the passes before are known, what they leave unexplained may be small: so many deviations of one quiet reading.
    private const double SmallSlow = 2;

    private static readonly NuisanceCourse Usual = new(1, 0.2, 0);

    // A halo half as wide; little that the passes before do not explain; a draught with either; a strong one.
    private static readonly NuisanceCourse[] Others = [new(1, 0.13, 0), new(0, 0.2, 0), new(1, 0.2, 1), new(0, 0.2, 1), new(1, 0.2, 2)];

    [ThreadStatic]
    private static WindowPoints? _points;

    /// <summary>Tests a window.</summary>
    /// <returns>The strongest candidate; null where the window holds too few readings, or none that numbers can carry.</returns>
    public static FlashEvidence? Run(in FlashQuestion question)
    {
        var points = _points ??= new();
        points.Take(question);
        var n = points.Count;
        if (n < IdleNoise.FewestReadings)
        {
            return null;
        }

        // Some hundred thousand bytes for each pass: fresh ones would each cost a cleared page and a collection of all memory.
        var matrix = ArrayPool<double>.Shared.Rent(n * n);
        try
        {
            return Run(question, points, matrix.AsSpan(0, n * n));
        }
        finally
        {
            ArrayPool<double>.Shared.Return(matrix);
        }
    }

    /// <summary>The onset of a flash that was found, from all readings round it, s.</summary>
    /// <param name="question">The question that it answers.</param>
    /// <param name="found">The flash.</param>
    public static double Onset(in FlashQuestion question, in FlashEvidence found)
    {
        var near = question.Window.Between(found.OnsetSeconds - AroundSeconds, found.OnsetSeconds + AroundSeconds);
        var points = _points ??= new();
        var narrow = question with { Window = near, SlowHeight = question.SlowHeight };
        points.Take(narrow, leastSeconds: 0);
        var n = points.Count;
        if (n < IdleNoise.FewestReadings)
        {
            return found.OnsetSeconds;
        }

        var matrix = ArrayPool<double>.Shared.Rent(n * n);
        try
        {
            var inverse = matrix.AsSpan(0, n * n);
            Usual.Fill(points, narrow, inverse);
            if (SymmetricInverse.TryInvert(inverse, n) is null)
            {
                return found.OnsetSeconds;
            }

            Span<double> weighted = stackalloc double[n];
            Weigh(points, inverse, weighted);
            var search = new FlashSearch(points.Times.AsSpan(0, n), inverse, weighted, points.SpacingSeconds);
            return search.Refined(found, 0.03, 0.003)?.OnsetSeconds ?? found.OnsetSeconds;
        }
        finally
        {
            ArrayPool<double>.Shared.Return(matrix);
        }
    }

    private static void Weigh(WindowPoints points, ReadOnlySpan<double> inverse, Span<double> weighted)
    {
        var n = points.Count;
        for (var i = 0; i < n; i++)
        {
            weighted[i] = SymmetricInverse.Dot(inverse.Slice(i * n, n), points.Values.AsSpan(0, n));
        }
    }

    private static FlashEvidence? Run(in FlashQuestion question, WindowPoints points, Span<double> matrix)
    {
        if (Idea(Usual, question, points, matrix) is not { } usual)
        {
            return null;
        }

        var (best, bestLog, noneLog) = (usual.Found, usual.WithLog, usual.NoneLog);
        var small = Math.Min(1, SmallSlow * Math.Sqrt((1 + question.KnownShare) * question.Noise.Variance) / question.SlowHeight);
        for (var k = 0; k < Others.Length && usual.Found is { Significance: >= WorthAnotherIdea }; k++)
        {
            var idea = Others[k];
            if (idea.Slow == 0)
            {
                if (!points.HasKnown || small > 0.5)
                {
                    continue;
                }

                idea = idea with { Slow = small };
            }

            if (Idea(idea, question, points, matrix) is { } other)
            {
                noneLog = Math.Max(noneLog, other.NoneLog);
                (best, bestLog) = other.WithLog > bestLog ? (other.Found, other.WithLog) : (best, bestLog);
            }
        }

        return best is not { } found ? null : found with
        {
            Height = found.Height * question.SlowHeight,
            HeightUncertainty = found.HeightUncertainty * question.SlowHeight,
            Significance = Math.Sqrt(2 * Math.Max(0, bestLog - noneLog)),
        };
    }

    private static (FlashEvidence? Found, double WithLog, double NoneLog)? Idea(NuisanceCourse idea, in FlashQuestion question, WindowPoints points, Span<double> matrix)
    {
        var n = points.Count;
        idea.Fill(points, question, matrix);
        if (SymmetricInverse.TryInvert(matrix, n) is not { } logDeterminant)
        {
            return null;
        }

        Span<double> weighted = stackalloc double[n];
        Weigh(points, matrix, weighted);
        var none = -0.5 * (SymmetricInverse.Dot(weighted, points.Values.AsSpan(0, n)) + logDeterminant);
        var found = new FlashSearch(points.Times.AsSpan(0, n), matrix, weighted, points.SpacingSeconds).Strongest(question, OnsetStepSeconds);
        return (found, found is { } flash ? none + (0.5 * flash.Significance * flash.Significance) : double.NegativeInfinity, none);
    }
}
