using System.Numerics;
using System.Runtime.InteropServices;

namespace Acquire.Core.Detection;

/// <summary>Sums of products of a short shape with each stretch of a long row of values.</summary>
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
}
