using System.Numerics;
using System.Runtime.InteropServices;

namespace Acquire.Core.Detection;

/// <summary>Sums of products over long rows of values.</summary>
internal static class Sliding
{
    /// <summary>So many more values than are asked for must be at hand, behind the row and in the room for the sums.</summary>
    public static int Slack => Vector<double>.Count;

    /// <summary>Sums over the shape, which begins at one point after the other.</summary>
    /// <param name="shape">The shape.</param>
    /// <param name="values">Values from the first point on; at least as many as shape and sums together, and the slack.</param>
    /// <param name="sums">Receives the sums, as many as asked for and up to the slack more.</param>
    /// <param name="count">How many are asked for.</param>
    public static void Sum(ReadOnlySpan<double> shape, ReadOnlySpan<double> values, Span<double> sums, int count)
    {
        var wide = Vector<double>.Count;
        ref var from = ref MemoryMarshal.GetReference(values);
        ref var to = ref MemoryMarshal.GetReference(sums);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(count + wide, sums.Length);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(count + wide + shape.Length, values.Length);
        var at = 0;
        for (; at + (4 * wide) <= count; at += 4 * wide)
        {
            Vector<double> a = default, b = default, c = default, d = default;
            for (var j = 0; j < shape.Length; j++)
            {
                var by = new Vector<double>(shape[j]);
                a = Vector.FusedMultiplyAdd(by, Vector.LoadUnsafe(ref from, (nuint)(at + j)), a);
                b = Vector.FusedMultiplyAdd(by, Vector.LoadUnsafe(ref from, (nuint)(at + j + wide)), b);
                c = Vector.FusedMultiplyAdd(by, Vector.LoadUnsafe(ref from, (nuint)(at + j + (2 * wide))), c);
                d = Vector.FusedMultiplyAdd(by, Vector.LoadUnsafe(ref from, (nuint)(at + j + (3 * wide))), d);
            }

            a.StoreUnsafe(ref to, (nuint)at);
            b.StoreUnsafe(ref to, (nuint)(at + wide));
            c.StoreUnsafe(ref to, (nuint)(at + (2 * wide)));
            d.StoreUnsafe(ref to, (nuint)(at + (3 * wide)));
        }

        for (; at < count; at += wide)
        {
            Vector<double> a = default;
            for (var j = 0; j < shape.Length; j++)
            {
                a = Vector.FusedMultiplyAdd(new Vector<double>(shape[j]), Vector.LoadUnsafe(ref from, (nuint)(at + j)), a);
            }

            a.StoreUnsafe(ref to, (nuint)at);
        }
    }

    /// <summary>Sum of products of two long spans of equal length, several sums side by side: another order than in <see cref="SymmetricInverse.Dot"/>, so other roundings.</summary>
    public static double Dot(ReadOnlySpan<double> a, ReadOnlySpan<double> b)
    {
        var wideA = MemoryMarshal.Cast<double, Vector<double>>(a);
        var wideB = MemoryMarshal.Cast<double, Vector<double>>(b);

        // Four sums side by side: one would wait for itself.
        var (first, second, third, fourth, at) = (Vector<double>.Zero, Vector<double>.Zero, Vector<double>.Zero, Vector<double>.Zero, 0);
        for (; at <= wideA.Length - 4; at += 4)
        {
            first = Vector.FusedMultiplyAdd(wideA[at], wideB[at], first);
            second = Vector.FusedMultiplyAdd(wideA[at + 1], wideB[at + 1], second);
            third = Vector.FusedMultiplyAdd(wideA[at + 2], wideB[at + 2], third);
            fourth = Vector.FusedMultiplyAdd(wideA[at + 3], wideB[at + 3], fourth);
        }

        for (; at < wideA.Length; at++)
        {
            first = Vector.FusedMultiplyAdd(wideA[at], wideB[at], first);
        }

        var sum = Vector.Sum(first + second + third + fourth);
        for (var i = wideA.Length * Vector<double>.Count; i < a.Length; i++)
        {
            sum += a[i] * b[i];
        }

        return sum;
    }
}
