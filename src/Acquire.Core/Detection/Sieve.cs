using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using System.Runtime.Intrinsics.X86;

namespace Acquire.Core.Detection;

/// <summary>Keeps the values of a row that lie in bounds, several at once, and counts those below.</summary>
internal static class Sieve
{
    // Bounds are moved so often before the search without a guess is the better one.
    private const int Tries = 3;

    // They are moved so many times as far as the density between them tells.
    private const double Further = 1.5;

    /// <summary>Finds the value of a rank, and that of the next, where they are thought to be; the count decides, so a poor guess never changes them.</summary>
    /// <param name="row">Finite values.</param>
    /// <param name="rank">First rank, 0 the smallest.</param>
    /// <param name="ranks">How many ranks, 1 or 2.</param>
    /// <param name="near">Where they are thought to be.</param>
    /// <param name="work">Room for as many values.</param>
    /// <returns>The values, the same one twice where one is asked for; null where they were not found there nor beside it.</returns>
    public static (double First, double Second)? Find<TRow>(TRow row, int rank, int ranks, Bracket near, Span<double> work)
        where TRow : struct, IRow, allows ref struct
    {
        for (var tries = 0; tries < Tries && near.IsGuess; tries++)
        {
            var (below, kept) = Keep(row, near.Low, near.High, work);
            if (rank >= below && rank + ranks <= below + kept)
            {
                rank -= below;
                return Selection.Neighbours(Narrowing.To(work[..kept], ref rank, ranks, default, near), rank, ranks);
            }

            near = Moved(near, rank, ranks, below, kept);
        }

        return null;
    }

    // To where the density between the bounds tells that the rank is.
    private static Bracket Moved(Bracket near, int rank, int ranks, int below, int kept)
    {
        var width = near.High - near.Low;
        if (rank < below)
        {
            var by = Math.Max(width, Further * (below - rank) * width / (kept + 1));
            return new(near.Low - by, rank + ranks <= below ? near.Low : near.High);
        }

        var upTo = below + kept;
        return new(rank >= upTo ? near.High : near.Low, near.High + Math.Max(width, Further * (rank + ranks - upTo) * width / (kept + 1)));
    }

    /// <summary>Keeps what lies between two values, themselves included, and counts what lies below.</summary>
    /// <param name="row">The row.</param>
    /// <param name="low">The one.</param>
    /// <param name="high">The other.</param>
    /// <param name="to">Receives what is kept at its front and is overwritten behind it; as long as the row, and it may hold the very values.</param>
    [MethodImpl(MethodImplOptions.NoInlining)]
    public static (int Below, int Kept) Keep<TRow>(TRow row, double low, double high, Span<double> to)
        where TRow : struct, IRow, allows ref struct
    {
        ArgumentOutOfRangeException.ThrowIfGreaterThan(row.Length, to.Length);
        ref var front = ref MemoryMarshal.GetReference(to);
        var (n, below) = ((nuint)row.Length, 0);
        nuint i = 0, kept = 0;

        // No sum here can grow beyond the length of the row.
        unchecked
        {
            if (Avx2.IsSupported)
            {
                var (wideLow, wideHigh, less) = (Vector256.Create(low), Vector256.Create(high), Vector256<long>.Zero);
                ref var orders = ref MemoryMarshal.GetReference(Orders);
                for (; i + (nuint)Vector256<double>.Count <= n; i += (nuint)Vector256<double>.Count)
                {
                    // Nothing is written before it was read.
                    var four = row.Four(i);
                    var lower = Vector256.LessThan(four, wideLow);
                    less -= lower.AsInt64();
                    var which = Vector256.AndNot(Vector256.LessThanOrEqual(four, wideHigh), lower).ExtractMostSignificantBits();
                    var order = Vector256.LoadUnsafe(ref orders, 8 * (nuint)which);
                    Avx2.PermuteVar8x32(four.AsInt32(), order).AsDouble().StoreUnsafe(ref front, kept);
                    kept += (nuint)BitOperations.PopCount(which);
                }

                below = (int)Vector256.Sum(less);
            }

            for (; i < n; i++)
            {
                var value = row.One((int)i);
                Unsafe.Add(ref front, kept) = value;
                below += value < low ? 1 : 0;
                kept += value >= low && value <= high ? 1u : 0u;
            }

            return (below, (int)kept);
        }
    }

    // For each choice among four values, its places in halves of a value, those chosen first.
    private static ReadOnlySpan<int> Orders =>
    [
        0, 1, 2, 3, 4, 5, 6, 7, 0, 1, 2, 3, 4, 5, 6, 7, 2, 3, 0, 1, 4, 5, 6, 7, 0, 1, 2, 3, 4, 5, 6, 7,
        4, 5, 0, 1, 2, 3, 6, 7, 0, 1, 4, 5, 2, 3, 6, 7, 2, 3, 4, 5, 0, 1, 6, 7, 0, 1, 2, 3, 4, 5, 6, 7,
        6, 7, 0, 1, 2, 3, 4, 5, 0, 1, 6, 7, 2, 3, 4, 5, 2, 3, 6, 7, 0, 1, 4, 5, 0, 1, 2, 3, 6, 7, 4, 5,
        4, 5, 6, 7, 0, 1, 2, 3, 0, 1, 4, 5, 6, 7, 2, 3, 2, 3, 4, 5, 6, 7, 0, 1, 0, 1, 2, 3, 4, 5, 6, 7,
    ];
}
