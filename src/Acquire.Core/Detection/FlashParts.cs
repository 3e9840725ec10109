using System.Numerics;
using System.Runtime.InteropServices;

namespace Acquire.Core.Detection;

/// <summary>A shape's values at evenly spaced points, taken apart: a few single ones, and a long part that holds or fades, whose sums with a row follow one from the next.</summary>
/// <remarks>So a flash of a hundred values costs a handful of products at each onset.</remarks>
internal sealed class FlashParts
{
    // Values that differ by less are equal but for rounding.
    private const double Rounding = 1e-12;

    private static readonly double[] Nothing = new double[FlashWeights.Room];

    private readonly int[] _at;
    private readonly double[] _single;
    private readonly int _from;
    private readonly int _to;
    private readonly double _by;
    private readonly int _end;

    private FlashParts(ReadOnlySpan<double> values, int from, int to, double by)
    {
        (_from, _to, _by) = (from, to, by);
        var (at, single) = (new List<int>(), new List<double>());
        for (var i = 0; i < values.Length; i++)
        {
            if ((i < from || i >= to) && values[i] != 0)
            {
                at.Add(i);
                single.Add(values[i]);
            }
        }

        (_at, _single) = ([.. at], [.. single]);
        _end = Math.Max(to, _at.Length > 0 ? _at[^1] + 1 : 0);
    }

    /// <summary>Points that fade, each by the same share; 0 where none does.</summary>
    public int Fading { get; private init; }

    /// <summary>Whether the long part goes on to the end of the window.</summary>
    public bool Burns { get; private init; }

    /// <summary>What it takes of the memory, in numbers of 8 bytes: its figures, its two arrays and their heads.</summary>
    public int Size => 14 + (2 * _at.Length);

    /// <summary>Takes the values of a shape apart.</summary>
    /// <param name="shape">Which of the <see cref="FlashShapes"/>.</param>
    /// <param name="values">Values at the points from the onset on.</param>
    /// <param name="spacing">Time between points, s.</param>
    public static FlashParts Of(int shape, ReadOnlySpan<double> values, double spacing)
    {
        if (shape == FlashShapes.Burning)
        {
            return new(values, values.Length, values.Length, 1) { Burns = true };
        }

        var from = 0;
        if (shape == FlashShapes.Fading && values.Length > 0)
        {
            var left = FlashShapes.FadingLeft(spacing);
            while (from < values.Length - 1 && Math.Abs(values[from + 1] - (left * values[from])) > Rounding)
            {
                from++;
            }

            return new(values, from, values.Length, values[from]) { Fading = values.Length - from };
        }

        while (from < values.Length && values[from] < 1 - Rounding)
        {
            from++;
        }

        var to = from;
        while (to < values.Length && values[to] >= 1 - Rounding)
        {
            to++;
        }

        return new(values, from, to, 1);
    }

    /// <summary>Sums over the shape, which begins at one point after the other.</summary>
    /// <param name="weights">The rows: the window's values, and its known course and the shift of that where there is one.</param>
    /// <param name="first">Point at which the first begins.</param>
    /// <param name="count">How many are asked for.</param>
    /// <param name="values">Receives the sums of the values, as many as asked for and up to <see cref="Sliding.Slack"/> more.</param>
    /// <param name="size">Likewise, of the known course; empty where there is none.</param>
    /// <param name="shift">Likewise, of its shift.</param>
    public void Sum(FlashWeights weights, int first, int count, Span<double> values, Span<double> size, Span<double> shift)
    {
        var fades = Fading > 0;
        if (weights.HasKnown)
        {
            Sum(weights.Values, weights.Size, weights.Shift, fades ? weights.ValuesFading : weights.ValuesToEnd, fades ? weights.SizeFading : weights.SizeToEnd, fades ? weights.ShiftFading : weights.ShiftToEnd, first, count, values, size, shift);
        }
        else
        {
            Sum(weights.Values, fades ? weights.ValuesFading : weights.ValuesToEnd, first, count, values);
        }
    }

    private void Sum(double[] row, double[] summed, int first, int count, Span<double> sums)
    {
        var wide = Vector<double>.Count;
        Check(count, first, row, summed, sums);
        ref var from = ref MemoryMarshal.GetArrayDataReference(row);
        ref var longs = ref MemoryMarshal.GetArrayDataReference(summed);
        ref var behind = ref MemoryMarshal.GetArrayDataReference(Holds ? summed : Nothing);
        ref var to = ref MemoryMarshal.GetReference(sums);
        var (at, single, by) = (_at, _single, new Vector<double>(_by));
        for (var k = 0; k < count; k += wide)
        {
            var sum = (by * Vector.LoadUnsafe(ref longs, (nuint)(first + _from + k))) - Vector.LoadUnsafe(ref behind, (nuint)(first + _to + k));
            for (var j = 0; j < single.Length && j < at.Length; j++)
            {
                sum = Vector.FusedMultiplyAdd(new Vector<double>(single[j]), Vector.LoadUnsafe(ref from, (nuint)(first + at[j] + k)), sum);
            }

            sum.StoreUnsafe(ref to, (nuint)k);
        }
    }

    // Three rows side by side: what they are multiplied with is fetched once.
    private void Sum(double[] rowA, double[] rowB, double[] rowC, double[] summedA, double[] summedB, double[] summedC, int first, int count, Span<double> a, Span<double> b, Span<double> c)
    {
        var wide = Vector<double>.Count;
        Check(count, first, rowA, summedA, a);
        Check(count, first, rowB, summedB, b);
        Check(count, first, rowC, summedC, c);
        ref var fromA = ref MemoryMarshal.GetArrayDataReference(rowA);
        ref var fromB = ref MemoryMarshal.GetArrayDataReference(rowB);
        ref var fromC = ref MemoryMarshal.GetArrayDataReference(rowC);
        ref var longA = ref MemoryMarshal.GetArrayDataReference(summedA);
        ref var longB = ref MemoryMarshal.GetArrayDataReference(summedB);
        ref var longC = ref MemoryMarshal.GetArrayDataReference(summedC);
        ref var toA = ref MemoryMarshal.GetReference(a);
        ref var toB = ref MemoryMarshal.GetReference(b);
        ref var toC = ref MemoryMarshal.GetReference(c);
        var (at, single, by, holds) = (_at, _single, new Vector<double>(_by), Holds);
        for (var k = 0; k < count; k += wide)
        {
            var begin = (nuint)(first + _from + k);
            var (sumA, sumB, sumC) = (by * Vector.LoadUnsafe(ref longA, begin), by * Vector.LoadUnsafe(ref longB, begin), by * Vector.LoadUnsafe(ref longC, begin));
            if (holds)
            {
                var end = (nuint)(first + _to + k);
                sumA -= Vector.LoadUnsafe(ref longA, end);
                sumB -= Vector.LoadUnsafe(ref longB, end);
                sumC -= Vector.LoadUnsafe(ref longC, end);
            }

            for (var j = 0; j < single.Length && j < at.Length; j++)
            {
                var (one, here) = (new Vector<double>(single[j]), (nuint)(first + at[j] + k));
                sumA = Vector.FusedMultiplyAdd(one, Vector.LoadUnsafe(ref fromA, here), sumA);
                sumB = Vector.FusedMultiplyAdd(one, Vector.LoadUnsafe(ref fromB, here), sumB);
                sumC = Vector.FusedMultiplyAdd(one, Vector.LoadUnsafe(ref fromC, here), sumC);
            }

            sumA.StoreUnsafe(ref toA, (nuint)k);
            sumB.StoreUnsafe(ref toB, (nuint)k);
            sumC.StoreUnsafe(ref toC, (nuint)k);
        }
    }

    private bool Holds => !Burns && Fading == 0;

    // All that is read and written below lies within the rows.
    private void Check(int count, int first, double[] row, double[] summed, Span<double> sums)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(first);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(count + Vector<double>.Count, sums.Length);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(first + _end + count + Vector<double>.Count, Math.Min(row.Length, Math.Min(summed.Length, Nothing.Length)));
    }
}
