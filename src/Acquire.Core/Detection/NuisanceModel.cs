namespace Acquire.Core.Detection;

/// <summary>A <see cref="NuisanceCourse"/> over a window's points, with the inverse of its covariance: for points that are uneven, or whose spacing is not a multiple of the grid of onsets.</summary>
internal sealed class NuisanceModel : FlashModel
{
    private readonly double[] _inverse;
    private readonly double[] _norms;

    private NuisanceModel(double[] inverse, double logDeterminant, FlashGrid grid, double[] norms)
        : base(logDeterminant) => (_inverse, Grid, _norms) = (inverse, grid, norms);

    /// <summary>The flashes that are looked for.</summary>
    public FlashGrid Grid { get; }

    /// <summary>Square of a flash of height 1 in units of noise and nuisance: sᵀC⁻¹s.</summary>
    public ReadOnlySpan<double> Norms => _norms.AsSpan(0, Grid.Count);

    /// <summary>Makes the model; null where numbers cannot carry it.</summary>
    /// <param name="course">The nuisance.</param>
    /// <param name="times">Of the points, s.</param>
    /// <param name="even">Whether they are evenly spaced.</param>
    /// <param name="grid">The flashes that are looked for.</param>
    /// <param name="room">For the square of the number of points at least, and the model's as long as it is used; null where it is to have its own.</param>
    /// <param name="normsRoom">Likewise, for as many values as there are flashes.</param>
    public static NuisanceModel? Of(NuisanceCourse course, ReadOnlySpan<double> times, bool even, FlashGrid grid, double[]? room = null, double[]? normsRoom = null)
    {
        var n = times.Length;
        var inverse = room ?? new double[n * n];
        var quick = even ? EvenInverse.Fill(course, n, (times[n - 1] - times[0]) / (n - 1), inverse)?.LogDeterminant : null;
        if ((quick ?? Invert(course, times, even, inverse)) is not { } logDeterminant)
        {
            return null;
        }

        var norms = normsRoom ?? new double[grid.Count];
        Span<double> toEnd = stackalloc double[n + 1];
        SquaresToEnd(inverse, n, toEnd);
        for (var k = 0; k < grid.Count; k++)
        {
            norms[k] = Norm(inverse, n, grid, grid[k], toEnd);
        }

        return new(inverse, logDeterminant, grid, norms);
    }

    /// <inheritdoc/>
    public override int Size => _inverse.Length + _norms.Length + Grid.Size;

    /// <inheritdoc/>
    public override void Weigh(ReadOnlySpan<double> vector, Span<double> weighted)
    {
        var n = vector.Length;
        for (var i = 0; i < n; i++)
        {
            weighted[i] = Sliding.Dot(_inverse.AsSpan(i * n, n), vector);
        }
    }

    /// <inheritdoc/>
    public override FlashMatch? Strongest(FlashWeights weights, in KnownCourse known, in FlashBounds bounds)
    {
        var (best, most) = ((FlashMatch?)null, 0.0);
        for (var k = 0; k < Grid.Count; k++)
        {
            var flash = Grid[k];
            var (burns, end) = (flash.Shape == FlashShapes.Burning, flash.First + flash.Length);
            var values = Grid.Values(flash);
            var projection = SymmetricInverse.BriefDot(values, weights.Values.AsSpan(flash.First, flash.Length)) + (burns ? weights.ValuesToEnd[end] : 0);
            if (!(projection > 0))
            {
                continue;
            }

            var norm = _norms[k];
            if (weights.HasKnown)
            {
                norm -= known.Explains(
                    SymmetricInverse.BriefDot(values, weights.Size.AsSpan(flash.First, flash.Length)) + (burns ? weights.SizeToEnd[end] : 0),
                    SymmetricInverse.BriefDot(values, weights.Shift.AsSpan(flash.First, flash.Length)) + (burns ? weights.ShiftToEnd[end] : 0));
            }

            var square = (projection * projection / norm) - FlashShapes.Rarity(flash.Shape, flash.OnsetSeconds >= bounds.LateFromSeconds);
            if (norm > 0 && square > most && projection <= norm * bounds.HighestOf(flash.Shape))
            {
                most = square;
                best = new(flash.Shape, flash.OnsetSeconds, projection, norm, square);
            }
        }

        return best;
    }

    private static double? Invert(NuisanceCourse course, ReadOnlySpan<double> times, bool even, double[] inverse)
    {
        Span<double> table = stackalloc double[even ? times.Length : 0];
        course.Fill(times, inverse, table);
        return SymmetricInverse.TryInvert(inverse, times.Length);
    }

    private static double Norm(double[] inverse, int n, FlashGrid grid, in FlashGrid.Flash flash, ReadOnlySpan<double> toEnd)
    {
        var values = grid.Values(flash);
        var end = flash.First + flash.Length;
        var burns = flash.Shape == FlashShapes.Burning;
        var norm = burns ? toEnd[end] : 0;
        for (var i = 0; i < values.Length; i++)
        {
            var row = inverse.AsSpan((flash.First + i) * n, n);
            norm += values[i] * SymmetricInverse.BriefDot(row.Slice(flash.First, flash.Length), values);
            norm += burns ? 2 * values[i] * EvenInverse.Sum(row[end..]) : 0;
        }

        return norm;
    }

    // From each point to the end: sum of the square of the inverse that begins there.
    private static void SquaresToEnd(double[] inverse, int n, Span<double> toEnd)
    {
        toEnd[n] = 0;
        for (var i = n - 1; i >= 0; i--)
        {
            var row = inverse.AsSpan(i * n, n);
            toEnd[i] = toEnd[i + 1] + row[i] + (2 * EvenInverse.Sum(row[(i + 1)..]));
        }
    }
}
