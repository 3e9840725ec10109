using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Acquire.Core.Detection;

/// <summary>Finds the value of a rank without sorting: in time that grows with the number of values, where sorting grows faster.</summary>
internal static class Selection
{
    /// <summary>Up to so many values are compared each with each, several at once: no branch hangs on them.</summary>
    public const int Few = 24;

    // Below this many values putting them in order one by one is as quick.
    private const int InOrder = 12;

    /// <summary>The value that would stand at a rank, 0 the smallest; afterwards no value before the rank is larger, none behind it smaller.</summary>
    /// <param name="values">Finite values; reordered.</param>
    /// <param name="rank">0 to length - 1.</param>
    /// <remarks>
    /// Quickselect in three parts, so that the many equal values of a coarse converter do no harm. The parts are made without
    /// branches on the values, which no processor could foretell. Where the pivots are bad again and again it falls back to sorting.
    /// </remarks>
    public static double Smallest(Span<double> values, int rank)
    {
        var rest = values;
        for (var rounds = 2 * int.Log2(values.Length + 1); rest.Length > InOrder && rounds > 0; rounds--)
        {
            var pivot = Robust.Median3(rest[0], rest[rest.Length / 2], rest[^1]);
            var below = FirstBelow(rest, pivot);
            if (rank < below)
            {
                rest = rest[..below];
                continue;
            }

            rest = rest[below..];
            rank -= below;
            var equal = FirstUpTo(rest, pivot);
            if (rank < equal)
            {
                return pivot;
            }

            rest = rest[equal..];
            rank -= equal;
        }

        Order(rest);
        return rest[rank];
    }

    /// <summary>The value of a rank and that of the next.</summary>
    /// <param name="values">Finite values; reordered.</param>
    /// <param name="rank">First rank, 0 the smallest.</param>
    /// <param name="ranks">How many ranks, 1 or 2; where it is 1 both are the same.</param>
    public static (double First, double Second) Neighbours(Span<double> values, int rank, int ranks)
    {
        if (values.Length <= Few && Vector256.IsHardwareAccelerated)
        {
            return OfFew(values, rank, rank + ranks - 1);
        }

        var last = Smallest(values, rank + ranks - 1);
        return ranks == 1 ? (last, last) : (Largest(values[..(rank + 1)]), last);
    }

    // The value of a rank is the largest of those that no more than the rank are below.
    private static (double First, double Second) OfFew(ReadOnlySpan<double> values, int first, int second)
    {
        Span<double> padded = stackalloc double[Few];
        padded.Fill(double.PositiveInfinity);
        values.CopyTo(padded);
        ref var from = ref MemoryMarshal.GetReference(padded);
        var (wideFirst, wideSecond) = (Vector256.Create((long)first), Vector256.Create((long)second));
        var (mostFirst, mostSecond) = (Vector256.Create(double.NegativeInfinity), Vector256.Create(double.NegativeInfinity));
        for (var at = 0; at < values.Length; at += 2 * Vector256<double>.Count)
        {
            var (a, b) = (Vector256.LoadUnsafe(ref from, (nuint)at), Vector256.LoadUnsafe(ref from, (nuint)(at + Vector256<double>.Count)));
            var (belowA, belowB) = (Vector256<long>.Zero, Vector256<long>.Zero);
            foreach (var value in values)
            {
                var wide = Vector256.Create(value);
                belowA -= Vector256.LessThan(wide, a).AsInt64();
                belowB -= Vector256.LessThan(wide, b).AsInt64();
            }

            mostFirst = Vector256.MaxNative(mostFirst, Vector256.MaxNative(UpTo(wideFirst, belowA, a), UpTo(wideFirst, belowB, b)));
            mostSecond = Vector256.MaxNative(mostSecond, Vector256.MaxNative(UpTo(wideSecond, belowA, a), UpTo(wideSecond, belowB, b)));
        }

        return (Largest(mostFirst), Largest(mostSecond));
    }

    // Values that more than the rank are below become the least there is.
    private static Vector256<double> UpTo(Vector256<long> rank, Vector256<long> below, Vector256<double> values)
        => Vector256.ConditionalSelect(Vector256.GreaterThan(below, rank).AsDouble(), Vector256.Create(double.NegativeInfinity), values);

    private static double Largest(Vector256<double> four) => Math.Max(Math.Max(four[0], four[1]), Math.Max(four[2], four[3]));

    private static double Largest(ReadOnlySpan<double> values)
    {
        var largest = values[0];
        foreach (var value in values)
        {
            largest = Math.Max(largest, value);
        }

        return largest;
    }

    private static void Order(Span<double> values)
    {
        if (values.Length > InOrder)
        {
            values.Sort();
            return;
        }

        for (var i = 1; i < values.Length; i++)
        {
            var value = values[i];
            var at = i;
            for (; at > 0 && values[at - 1] > value; at--)
            {
                values[at] = values[at - 1];
            }

            values[at] = value;
        }
    }

    // Brings the values below the pivot to the front; returns how many there are.
    private static int FirstBelow(Span<double> values, double pivot)
    {
        var front = 0;
        for (var i = 0; i < values.Length; i++)
        {
            var value = values[i];
            values[i] = values[front];
            values[front] = value;
            front += value < pivot ? 1 : 0;
        }

        return front;
    }

    // The same for those not above it.
    private static int FirstUpTo(Span<double> values, double pivot)
    {
        var front = 0;
        for (var i = 0; i < values.Length; i++)
        {
            var value = values[i];
            values[i] = values[front];
            values[front] = value;
            front += value <= pivot ? 1 : 0;
        }

        return front;
    }
}
