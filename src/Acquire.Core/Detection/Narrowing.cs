using System.Numerics;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Acquire.Core.Detection;

/// <summary>Throws away values that cannot have the rank that is looked for, several at once.</summary>
/// <remarks>
/// Two values of a small sorted sample bound the rank; how many lie below and between is counted, and what lies between is kept.
/// The count decides, so a poor sample costs time and never changes the answer.
/// </remarks>
internal static class Narrowing
{
    // Below this many values it gains nothing.
    private const int Few = Selection.Few;

    // Distance of bounds from the rank's place between known ones, in roots of the number: two deviations where values lie evenly.
    private const double EvenMargin = 1.1;
    private const int Least = 16;
    private const int Most = 32;
    private const int Many = 1024;

    // So near the middle a rank is sought by four fours.
    private const double NearMiddle = 0.15;

    // Distance of the bounds from the rank's place in the sample, in roots of its size: almost two deviations.
    private const double Margin = 0.9;

    /// <summary>Keeps values among which some neighbouring ranks are, at the front of the span; the rest is overwritten.</summary>
    /// <param name="values">Finite values.</param>
    /// <param name="rank">First rank, 0 the smallest; becomes its rank among what is kept.</param>
    /// <param name="ranks">How many ranks, 1 or 2.</param>
    /// <param name="near">Where they are thought to be.</param>
    /// <param name="all">Where all values are, if that is known.</param>
    /// <returns>What is kept.</returns>
    public static Span<double> To(Span<double> values, ref int rank, int ranks, Bracket near = default, Bracket all = default)
    {
        var rest = values;
        for (; rest.Length > Few; (near, all) = (default, default))
        {
            var share = (rank + (0.5 * ranks)) / rest.Length;
            near = all.IsGuess ? Bracket.About(all.Low + (share * (all.High - all.Low)), EvenMargin / Math.Sqrt(rest.Length) * (all.High - all.Low)) : near;
            var (low, high) = near.IsGuess ? (near.Low, near.High)
                : rest.Length < Many && Math.Abs(share - 0.5) < NearMiddle ? Middle(rest)
                : Bounds(rest, share);
            var (below, upTo) = Count(rest, low, high);
            if (rank < below)
            {
                // The rank, or the first of two, lies below the bounds.
                (low, high, upTo) = (double.NegativeInfinity, rank + ranks <= below ? double.BitDecrement(low) : high, rank + ranks <= below ? below : upTo);
                below = 0;
            }

            if (rank + ranks > upTo)
            {
                (low, high) = (rank >= upTo ? double.BitIncrement(high) : low, double.PositiveInfinity);
                (below, upTo) = (rank >= upTo ? upTo : below, rest.Length);
            }

            if (upTo - below == rest.Length)
            {
                if (near.IsGuess)
                {
                    continue;
                }

                break;
            }

            rest = rest[..Sieve.Keep(new PlainRow(rest), low, high, rest).Kept];
            rank -= below;
        }

        return rest;
    }

    // For a rank near the middle: four fours are each put in order side by side; the second and third of them bound it.
    private static (double Low, double High) Middle(ReadOnlySpan<double> values)
    {
        var apart = values.Length / Least;
        var a = Vector256.Create(values[0], values[apart], values[2 * apart], values[3 * apart]);
        var b = Vector256.Create(values[4 * apart], values[5 * apart], values[6 * apart], values[7 * apart]);
        var c = Vector256.Create(values[8 * apart], values[9 * apart], values[10 * apart], values[11 * apart]);
        var d = Vector256.Create(values[12 * apart], values[13 * apart], values[14 * apart], values[15 * apart]);
        (a, b) = (Vector256.MinNative(a, b), Vector256.MaxNative(a, b));
        (c, d) = (Vector256.MinNative(c, d), Vector256.MaxNative(c, d));
        (a, c) = (Vector256.MinNative(a, c), Vector256.MaxNative(a, c));
        (b, d) = (Vector256.MinNative(b, d), Vector256.MaxNative(b, d));
        (b, c) = (Vector256.MinNative(b, c), Vector256.MaxNative(b, c));
        return (Math.Min(Math.Min(b[0], b[1]), Math.Min(b[2], b[3])), Math.Max(Math.Max(c[0], c[1]), Math.Max(c[2], c[3])));
    }

    private static (double Low, double High) Bounds(ReadOnlySpan<double> values, double share)
    {
        Span<double> sample = stackalloc double[values.Length < Many ? Least : Most];
        var apart = values.Length / sample.Length;
        for (var i = 0; i < sample.Length; i++)
        {
            var value = values[(i * apart) + (apart / 2)];
            var at = i;
            for (; at > 0 && sample[at - 1] > value; at--)
            {
                sample[at] = sample[at - 1];
            }

            sample[at] = value;
        }

        var (place, margin) = (share * sample.Length, Margin * Math.Sqrt(sample.Length));
        var (first, last) = ((int)Math.Floor(place - margin), (int)Math.Ceiling(place + margin));
        return (first < 0 ? double.NegativeInfinity : sample[first], last >= sample.Length ? double.PositiveInfinity : sample[last]);
    }

    // How many lie below the one, and how many not above the other.
    private static (int Below, int UpTo) Count(ReadOnlySpan<double> values, double low, double high)
    {
        var wide = MemoryMarshal.Cast<double, Vector<double>>(values);
        var (wideLow, wideHigh) = (new Vector<double>(low), new Vector<double>(high));
        var (less, notMore) = (Vector<long>.Zero, Vector<long>.Zero);
        foreach (var four in wide)
        {
            less -= Vector.LessThan(four, wideLow);
            notMore -= Vector.LessThanOrEqual(four, wideHigh);
        }

        var (below, upTo) = ((int)Vector.Sum(less), (int)Vector.Sum(notMore));
        foreach (var value in values[(wide.Length * Vector<double>.Count)..])
        {
            below += value < low ? 1 : 0;
            upTo += value <= high ? 1 : 0;
        }

        return (below, upTo);
    }
}
