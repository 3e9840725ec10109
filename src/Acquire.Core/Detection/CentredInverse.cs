using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace Acquire.Core.Detection;

/// <summary>The inverse of the covariance of evenly spaced points, an even number of them.</summary>
/// <remarks>
/// Read backwards such points have the same covariance. So their inverse falls apart into one for what is alike before and
/// behind the middle and one for what has changed its sign there, each of half the size and symmetric. Of these half is kept,
/// one row behind the other: fetching them from memory takes longer than the products, so they are fetched once and in order.
/// </remarks>
internal sealed class CentredInverse
{
    private readonly double[] _alike;
    private readonly double[] _opposite;
    private readonly int _half;
    private readonly int _row;

    /// <param name="inverse">The inverse, row by row.</param>
    /// <param name="points">How many points.</param>
    public CentredInverse(ReadOnlySpan<double> inverse, int points)
    {
        (_half, _row) = (points / 2, ((points / 2) + Wide - 1) & -Wide);
        var at = 0;
        for (var i = 0; i < _half; i++)
        {
            at += _row - (i & -Wide);
        }

        (_alike, _opposite, at) = (new double[at], new double[at], 0);
        for (var i = 0; i < _half; i++, at += _row)
        {
            // A row begins with the register that its diagonal is in; that is met twice.
            at -= i & -Wide;
            for (var j = i; j < _half; j++)
            {
                var (near, far) = (inverse[(i * points) + j], inverse[(i * points) + points - 1 - j]);
                (_alike[at + j], _opposite[at + j]) = i == j ? (0.5 * (near + far), 0.5 * (near - far)) : (near + far, near - far);
            }
        }
    }

    /// <summary>Numbers that it keeps.</summary>
    public int Size => 2 * _alike.Length;

    private static int Wide => Vector<double>.Count;

    /// <summary>Multiplies three vectors, each as long as there are points.</summary>
    public void Times(ReadOnlySpan<double> a, ReadOnlySpan<double> b, ReadOnlySpan<double> c, Span<double> ofA, Span<double> ofB, Span<double> ofC)
    {
        Span<double> halves = stackalloc double[12 * _row];
        var alike = halves[..(3 * _row)];
        var opposite = halves.Slice(3 * _row, 3 * _row);
        var same = halves.Slice(6 * _row, 3 * _row);
        var changed = halves[(9 * _row)..];
        Fold(a, alike, opposite);
        Fold(b, alike[_row..], opposite[_row..]);
        Fold(c, alike[(2 * _row)..], opposite[(2 * _row)..]);
        Multiply(_alike, alike, same);
        Multiply(_opposite, opposite, changed);
        Unfold(same, changed, ofA);
        Unfold(same[_row..], changed[_row..], ofB);
        Unfold(same[(2 * _row)..], changed[(2 * _row)..], ofC);
    }

    private void Fold(ReadOnlySpan<double> vector, Span<double> alike, Span<double> opposite)
    {
        for (var i = 0; i < _half; i++)
        {
            var (before, behind) = (vector[i], vector[vector.Length - 1 - i]);
            (alike[i], opposite[i]) = (0.5 * (before + behind), 0.5 * (before - behind));
        }
    }

    private void Unfold(ReadOnlySpan<double> same, ReadOnlySpan<double> changed, Span<double> vector)
    {
        for (var i = 0; i < _half; i++)
        {
            (vector[i], vector[vector.Length - 1 - i]) = (same[i] + changed[i], same[i] - changed[i]);
        }
    }

    // Three vectors, one after the other. What stands at row i and column j counts for both products.
    private void Multiply(double[] matrix, ReadOnlySpan<double> vectors, Span<double> products)
    {
        Span<double> across = stackalloc double[3 * _half];
        ref var from = ref MemoryMarshal.GetReference(vectors);
        ref var to = ref MemoryMarshal.GetReference(products);
        ref var next = ref MemoryMarshal.GetArrayDataReference(matrix);
        var (second, third) = ((nuint)_row, (nuint)(2 * _row));
        var i = 0;
        for (; i < _half - 1; i += 2)
        {
            // Two rows that begin in the same register: what they are multiplied with is fetched once.
            var (a, b, c) = (new Vector<double>(vectors[i]), new Vector<double>(vectors[_row + i]), new Vector<double>(vectors[(2 * _row) + i]));
            var (d, e, f) = (new Vector<double>(vectors[i + 1]), new Vector<double>(vectors[_row + i + 1]), new Vector<double>(vectors[(2 * _row) + i + 1]));
            Vector<double> ofA = default, ofB = default, ofC = default, ofD = default, ofE = default, ofF = default;
            var start = (nuint)(i & -Wide);
            ref var below = ref Unsafe.Add(ref next, second - start);
            for (var j = start; j < second; j += (nuint)Wide)
            {
                var (m, n) = (Vector.LoadUnsafe(ref next), Vector.LoadUnsafe(ref below));
                next = ref Unsafe.Add(ref next, Wide);
                below = ref Unsafe.Add(ref below, Wide);
                var x = Vector.LoadUnsafe(ref from, j);
                ofA = Vector.FusedMultiplyAdd(m, x, ofA);
                ofD = Vector.FusedMultiplyAdd(n, x, ofD);
                x = Vector.LoadUnsafe(ref from, second + j);
                ofB = Vector.FusedMultiplyAdd(m, x, ofB);
                ofE = Vector.FusedMultiplyAdd(n, x, ofE);
                x = Vector.LoadUnsafe(ref from, third + j);
                ofC = Vector.FusedMultiplyAdd(m, x, ofC);
                ofF = Vector.FusedMultiplyAdd(n, x, ofF);
                Vector.FusedMultiplyAdd(n, d, Vector.FusedMultiplyAdd(m, a, Vector.LoadUnsafe(ref to, j))).StoreUnsafe(ref to, j);
                Vector.FusedMultiplyAdd(n, e, Vector.FusedMultiplyAdd(m, b, Vector.LoadUnsafe(ref to, second + j))).StoreUnsafe(ref to, second + j);
                Vector.FusedMultiplyAdd(n, f, Vector.FusedMultiplyAdd(m, c, Vector.LoadUnsafe(ref to, third + j))).StoreUnsafe(ref to, third + j);
            }

            next = ref below;
            (across[i], across[_half + i], across[(2 * _half) + i]) = (Vector.Sum(ofA), Vector.Sum(ofB), Vector.Sum(ofC));
            (across[i + 1], across[_half + i + 1], across[(2 * _half) + i + 1]) = (Vector.Sum(ofD), Vector.Sum(ofE), Vector.Sum(ofF));
        }

        for (; i < _half; i++)
        {
            var (a, b, c) = (new Vector<double>(vectors[i]), new Vector<double>(vectors[_row + i]), new Vector<double>(vectors[(2 * _row) + i]));
            Vector<double> ofA = default, ofB = default, ofC = default;
            for (var j = (nuint)(i & -Wide); j < second; j += (nuint)Wide)
            {
                var m = Vector.LoadUnsafe(ref next);
                next = ref Unsafe.Add(ref next, Wide);
                ofA = Vector.FusedMultiplyAdd(m, Vector.LoadUnsafe(ref from, j), ofA);
                ofB = Vector.FusedMultiplyAdd(m, Vector.LoadUnsafe(ref from, second + j), ofB);
                ofC = Vector.FusedMultiplyAdd(m, Vector.LoadUnsafe(ref from, third + j), ofC);
                Vector.FusedMultiplyAdd(m, a, Vector.LoadUnsafe(ref to, j)).StoreUnsafe(ref to, j);
                Vector.FusedMultiplyAdd(m, b, Vector.LoadUnsafe(ref to, second + j)).StoreUnsafe(ref to, second + j);
                Vector.FusedMultiplyAdd(m, c, Vector.LoadUnsafe(ref to, third + j)).StoreUnsafe(ref to, third + j);
            }

            (across[i], across[_half + i], across[(2 * _half) + i]) = (Vector.Sum(ofA), Vector.Sum(ofB), Vector.Sum(ofC));
        }

        for (var k = 0; k < 3; k++)
        {
            var sums = products.Slice(k * _row, _half);
            var ofRows = across.Slice(k * _half, _half);
            for (i = 0; i < sums.Length; i++)
            {
                sums[i] += ofRows[i];
            }
        }
    }
}
