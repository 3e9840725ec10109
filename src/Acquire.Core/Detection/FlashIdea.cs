namespace Acquire.Core.Detection;

/// <summary>What one idea of the nuisance makes of a window.</summary>
/// <param name="Found">The most significant flash that is possible, heights in units of the noise; null where nothing points upwards.</param>
/// <param name="NoneLog">Logarithm of the likelihood without a flash, but for a constant.</param>
internal readonly record struct FlashIdea(FlashEvidence? Found, double NoneLog)
{
    /// <summary>The same with that flash; negative infinity without one.</summary>
    public double WithLog => Found is { } flash ? NoneLog + (0.5 * flash.Significance * flash.Significance) : double.NegativeInfinity;

    /// <summary>Makes it; null where numbers cannot carry it.</summary>
    public static FlashIdea? Of(NuisanceCourse course, in FlashQuestion question, WindowPoints points)
    {
        var n = points.Count;
        var first = points.Times[0];
        var model = points.Even
            ? NuisanceModels.For(course, n, points.SpacingSeconds, question.From - first, question.To - first)
            : NuisanceModel.Of(course, points.TimesNow, even: false, new(points.TimesNow, points.SpacingSeconds, question.From, question.To));
        if (model is null)
        {
            return null;
        }

        // Rows with one more for sums to the end: values, known course and its shift, each times the inverse.
        Span<double> weighted = stackalloc double[n + 1];
        Span<double> size = stackalloc double[n + 1];
        Span<double> shift = stackalloc double[n + 1];
        model.Weigh(points.ValuesNow, weighted[..n]);
        var square = SymmetricInverse.Dot(points.ValuesNow, weighted[..n]);
        var known = points.HasKnown ? KnownCourse.Of(model, points, weighted[..n], size[..n], shift[..n], ref square) : default;
        var none = -0.5 * (square + model.LogDeterminant + known.LogDeterminant);
        var found = Strongest(model, question, points, known, weighted, size, shift);
        return new(found, none);
    }

    private static FlashEvidence? Strongest(
        NuisanceModel model, in FlashQuestion question, WindowPoints points, in KnownCourse known, Span<double> weighted, Span<double> size, Span<double> shift)
    {
        var (n, first) = (points.Count, points.Times[0]);
        Span<double> weightedToEnd = stackalloc double[n + 1];
        Span<double> sizeToEnd = stackalloc double[n + 1];
        Span<double> shiftToEnd = stackalloc double[n + 1];
        ToEnd(weighted, weightedToEnd);
        ToEnd(size, sizeToEnd);
        ToEnd(shift, shiftToEnd);
        var highest = question.Highest / points.Unit;
        var highestBurn = Math.Min(highest, 2 * question.Linger / points.Unit);
        var (best, bestZ, bestProjection, bestNorm) = (-1, 0.0, 0.0, 1.0);
        var grid = model.Grid;
        for (var k = 0; k < grid.Count; k++)
        {
            var flash = grid[k];
            var (burns, end) = (flash.Shape == FlashShapes.Burning, flash.First + flash.Length);
            var values = grid.Values(flash);
            var projection = SymmetricInverse.Dot(values, weighted.Slice(flash.First, flash.Length)) + (burns ? weightedToEnd[end] : 0);
            if (!(projection > 0))
            {
                continue;
            }

            var norm = model.Norms[k];
            if (points.HasKnown)
            {
                norm -= known.Explains(
                    SymmetricInverse.Dot(values, size.Slice(flash.First, flash.Length)) + (burns ? sizeToEnd[end] : 0),
                    SymmetricInverse.Dot(values, shift.Slice(flash.First, flash.Length)) + (burns ? shiftToEnd[end] : 0));
            }

            var late = first + flash.OnsetSeconds > question.LateFrom;
            var rarity = FlashShapes.Rarity(flash.Shape) + (late ? FlashShapes.RarityWhenLate : 0);
            var z = norm > 0 ? Math.Sqrt(Math.Max(0, (projection * projection / norm) - rarity)) : 0;
            if (z > bestZ && projection <= norm * (burns ? highestBurn : highest))
            {
                (best, bestZ, bestProjection, bestNorm) = (k, z, projection, norm);
            }
        }

        return best < 0 ? null : new(points.Times[0] + grid[best].OnsetSeconds, bestProjection / bestNorm, 1 / Math.Sqrt(bestNorm), grid[best].Shape, bestZ);
    }

    private static void ToEnd(ReadOnlySpan<double> values, Span<double> sums)
    {
        sums[^1] = 0;
        for (var i = sums.Length - 2; i >= 0; i--)
        {
            sums[i] = sums[i + 1] + values[i];
        }
    }
}
