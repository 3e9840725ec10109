namespace Acquire.Core.Detection;

/// <summary>A <see cref="NuisanceCourse"/> over a window's points, with the inverse of its covariance and what that makes of each flash that is looked for. Immutable.</summary>
internal sealed class NuisanceModel
{
    private readonly double[] _inverse;
    private readonly double[] _norms;

    private NuisanceModel(double[] inverse, double logDeterminant, FlashGrid grid, double[] norms) =>
        (_inverse, LogDeterminant, Grid, _norms) = (inverse, logDeterminant, grid, norms);

    /// <summary>Logarithm of the covariance's determinant.</summary>
    public double LogDeterminant { get; }

    /// <summary>The flashes that are looked for.</summary>
    public FlashGrid Grid { get; }

    /// <summary>Square of a flash of height 1 in units of noise and nuisance: sᵀC⁻¹s.</summary>
    public ReadOnlySpan<double> Norms => _norms;

    /// <summary>Makes the model; null where numbers cannot carry it.</summary>
    public static NuisanceModel? Of(NuisanceCourse course, ReadOnlySpan<double> times, bool even, FlashGrid grid)
    {
        var n = times.Length;
        var inverse = new double[n * n];
        Span<double> table = stackalloc double[even ? n : 0];
        course.Fill(times, inverse, table);
        if (SymmetricInverse.TryInvert(inverse, n) is not { } logDeterminant)
        {
            return null;
        }

        var norms = new double[grid.Count];
        Span<double> toEnd = stackalloc double[n + 1];
        SquaresToEnd(inverse, n, toEnd);
        for (var k = 0; k < norms.Length; k++)
        {
            norms[k] = Norm(inverse, n, grid, grid[k], toEnd);
        }

        return new(inverse, logDeterminant, grid, norms);
    }

    /// <summary>The inverse times a vector.</summary>
    public void Weigh(ReadOnlySpan<double> vector, Span<double> weighted)
    {
        var n = vector.Length;
        for (var i = 0; i < n; i++)
        {
            weighted[i] = SymmetricInverse.Dot(_inverse.AsSpan(i * n, n), vector);
        }
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
            norm += values[i] * SymmetricInverse.Dot(row.Slice(flash.First, flash.Length), values);
            norm += burns ? 2 * values[i] * Sum(row[end..]) : 0;
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
            toEnd[i] = toEnd[i + 1] + row[i] + (2 * Sum(row[(i + 1)..]));
        }
    }

    private static double Sum(ReadOnlySpan<double> values)
    {
        double sum = 0;
        foreach (var value in values)
        {
            sum += value;
        }

        return sum;
    }
}
