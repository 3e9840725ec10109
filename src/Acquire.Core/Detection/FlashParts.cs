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
        if (shape == FlashShapes.Fading)
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
    /// <param name="row">The row; nothing but 0 behind its last point.</param>
    /// <param name="summed">Its sums from each point to the end, or over the points that fade from each on.</param>
    /// <param name="first">Point at which the first begins.</param>
    /// <param name="sums">Receives the sums, as many as asked for and up to <see cref="Sliding.Slack"/> more.</param>
    /// <param name="count">How many are asked for.</param>
    public void Sum(double[] row, double[] summed, int first, Span<double> sums, int count)
    {
        var wide = Vector<double>.Count;
        var holds = !Burns && Fading == 0;
        ArgumentOutOfRangeException.ThrowIfGreaterThan(count + wide, sums.Length);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(first + _to + count + wide, Math.Min(row.Length, summed.Length));
        ref var from = ref MemoryMarshal.GetArrayDataReference(row);
        ref var longs = ref MemoryMarshal.GetArrayDataReference(summed);
        ref var behind = ref MemoryMarshal.GetArrayDataReference(holds ? summed : Nothing);
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
}
