using System.Buffers;
using System.Numerics;
using System.Runtime.InteropServices;

namespace Acquire.Core.Detection;

/// <summary>Location and scale that a few wild readings cannot move.</summary>
public static class Robust
{
    // Ratio of the standard deviation to the median absolute deviation of a normal distribution.
    private const double NormalFactor = 1.4826;

    // Two deviations of a scale from as many readings as its square, as a share of it.
    private const double ChanceInScale = 2.4;

    /// <summary>Median; the input is left as it is. 0 for an empty span.</summary>
    public static double Median(ReadOnlySpan<double> values)
    {
        var scratch = ArrayPool<double>.Shared.Rent(values.Length);
        values.CopyTo(scratch);
        var median = MedianInPlace(scratch.AsSpan(0, values.Length));
        ArrayPool<double>.Shared.Return(scratch);
        return median;
    }

    /// <summary>The middle one of three finite values.</summary>
    public static double Median3(double a, double b, double c) => double.MaxNative(double.MinNative(a, b), double.MinNative(double.MaxNative(a, b), c));

    /// <summary>Scale of deviations from zero, as a standard deviation.</summary>
    /// <remarks>
    /// From the median absolute deviation; where more than half of the deviations vanish, as with a coarsely digitised
    /// quiet signal, from the root mean square of the smaller 98 %.
    /// </remarks>
    public static double Scale(ReadOnlySpan<double> deviations)
    {
        var scratch = ArrayPool<double>.Shared.Rent(deviations.Length);
        deviations.CopyTo(scratch);
        var scale = ScaleInPlace(scratch.AsSpan(0, deviations.Length));
        ArrayPool<double>.Shared.Return(scratch);
        return scale;
    }

    /// <summary>Median of finite values, which are overwritten. 0 for an empty span.</summary>
    /// <param name="values">The values.</param>
    /// <param name="near">Where it is thought to be.</param>
    internal static double MedianInPlace(Span<double> values, Bracket near = default)
    {
        if (values.IsEmpty)
        {
            return 0;
        }

        var (rank, ranks) = ((values.Length - 1) / 2, 2 - (values.Length % 2));
        var rest = Narrowing.To(values, ref rank, ranks, near);
        return Middle(Selection.Neighbours(rest, rank, ranks), ranks);
    }

    /// <summary>Median of a row of finite values. 0 for an empty one.</summary>
    /// <param name="row">The row.</param>
    /// <param name="near">Where it is thought to be. A poor guess costs time only.</param>
    /// <param name="work">Room for as many values; none of the row's own.</param>
    internal static double Median<TRow>(TRow row, Bracket near, Span<double> work)
        where TRow : struct, IRow, allows ref struct
    {
        var n = row.Length;
        var ranks = 2 - (n % 2);
        return n > 0 && Sieve.Find(row, (n - 1) / 2, ranks, near, work) is { } found ? Middle(found, ranks) : MedianInPlace(Written(row, work));
    }

    /// <summary>The same as <see cref="Scale"/>; the deviations are overwritten.</summary>
    /// <param name="deviations">The deviations.</param>
    /// <param name="near">What it is thought to be; 0 where nothing is known. A poor guess costs time only.</param>
    internal static double ScaleInPlace(Span<double> deviations, double near = 0)
    {
        if (deviations.IsEmpty)
        {
            return 0;
        }

        // More than half of them nothing: then their median is nothing, too.
        if (2 * Absolute(deviations) > deviations.Length)
        {
            return FromTheSmaller(deviations);
        }

        var rank = deviations.Length / 2;
        var rest = Narrowing.To(deviations, ref rank, 1, Near(near, deviations.Length));
        return NormalFactor * Selection.Neighbours(rest, rank, 1).First;
    }

    /// <summary>The same as <see cref="Scale"/> of a row of sizes of deviations.</summary>
    /// <param name="sizes">The row.</param>
    /// <param name="near">What it is thought to be; 0 where nothing is known. A poor guess costs time only.</param>
    /// <param name="work">Room for as many values; none of the row's own.</param>
    internal static double Scale<TRow>(TRow sizes, double near, Span<double> work)
        where TRow : struct, IRow, allows ref struct
    {
        // A median above zero tells that no more than half of them are zero.
        return Sieve.Find(sizes, sizes.Length / 2, 1, Near(near, sizes.Length), work) is { First: > 0 and var median } ? NormalFactor * median : ScaleInPlace(Written(sizes, work));
    }

    private static Bracket Near(double scale, int readings) => Bracket.About(scale / NormalFactor, ChanceInScale / Math.Sqrt(readings) * (scale / NormalFactor));

    private static double Middle((double First, double Second) found, int ranks) => ranks == 1 ? found.First : (found.First + found.Second) / 2;

    private static Span<double> Written<TRow>(TRow row, Span<double> to)
        where TRow : struct, IRow, allows ref struct
    {
        for (var i = 0; i < row.Length; i++)
        {
            to[i] = row.One(i);
        }

        return to[..row.Length];
    }

    // Takes the sizes; returns how many are zero.
    private static int Absolute(Span<double> values)
    {
        var wide = MemoryMarshal.Cast<double, Vector<double>>(values);
        var none = Vector<long>.Zero;
        foreach (ref var four in wide)
        {
            four = Vector.Abs(four);
            none -= Vector.Equals(four, Vector<double>.Zero);
        }

        var zeros = (int)Vector.Sum(none);
        foreach (ref var value in values[(wide.Length * Vector<double>.Count)..])
        {
            value = Math.Abs(value);
            zeros += value == 0 ? 1 : 0;
        }

        return zeros;
    }

    private static double FromTheSmaller(Span<double> sizes)
    {
        sizes.Sort();
        var kept = Math.Max(1, sizes.Length * 98 / 100);
        double sum = 0;
        for (var i = 0; i < kept; i++)
        {
            sum += sizes[i] * sizes[i];
        }

        return Math.Sqrt(sum / kept);
    }
}
