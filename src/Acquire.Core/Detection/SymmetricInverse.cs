using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace Acquire.Core.Detection;

/// <summary>Inverse of a symmetric positive definite matrix by Cholesky's decomposition, in place.</summary>
internal static class SymmetricInverse
{
    private const int Brief = 4;

    /// <summary>Replaces an n × n matrix, row by row in one span, by its inverse; only the lower triangle is read.</summary>
    /// <returns>The logarithm of its determinant; null where the matrix is not positive definite to working precision, and then it holds nothing of use.</returns>
    public static double? TryInvert(Span<double> matrix, int n)
    {
        if (!TryFactor(matrix, n))
        {
            return null;
        }

        double logarithm = 0;
        for (var i = 0; i < n; i++)
        {
            logarithm += 2 * Math.Log(matrix[(i * n) + i]);
        }

        InvertFactor(matrix, n);
        MultiplyBack(matrix, n);
        return logarithm;
    }

    /// <summary>The same as <see cref="Dot"/> but for roundings, for spans that hold mostly two or three values.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static double BriefDot(ReadOnlySpan<double> a, ReadOnlySpan<double> b)
    {
        if (a.Length > Brief)
        {
            return Dot(a, b);
        }

        var sum = 0.0;
        for (var i = 0; i < a.Length && i < b.Length; i++)
        {
            sum += a[i] * b[i];
        }

        return sum;
    }

    /// <summary>Sum of products of two spans of equal length.</summary>
    public static double Dot(ReadOnlySpan<double> a, ReadOnlySpan<double> b)
    {
        var wideA = MemoryMarshal.Cast<double, Vector<double>>(a);
        var wideB = MemoryMarshal.Cast<double, Vector<double>>(b);
        var wideSum = Vector<double>.Zero;
        for (var i = 0; i < wideA.Length; i++)
        {
            wideSum += wideA[i] * wideB[i];
        }

        var sum = Vector.Sum(wideSum);
        for (var i = wideA.Length * Vector<double>.Count; i < a.Length; i++)
        {
            sum += a[i] * b[i];
        }

        return sum;
    }

    // Lower triangle L of matrix = L·Lᵀ, over the lower triangle of the input.
    private static bool TryFactor(Span<double> m, int n)
    {
        for (var row = 0; row < n; row++)
        {
            for (var column = 0; column < row; column++)
            {
                var sum = Sliding.Dot(m.Slice(row * n, column), m.Slice(column * n, column));
                m[(row * n) + column] = (m[(row * n) + column] - sum) / m[(column * n) + column];
            }

            var square = m[(row * n) + row] - Sliding.Dot(m.Slice(row * n, row), m.Slice(row * n, row));
            if (!(square > 0))
            {
                return false;
            }

            m[(row * n) + row] = Math.Sqrt(square);
        }

        return true;
    }

    // Row j of the upper triangle becomes column j of L⁻¹, so that rows can be multiplied as spans afterwards.
    private static void InvertFactor(Span<double> m, int n)
    {
        for (var column = 0; column < n; column++)
        {
            var inverse = 1 / m[(column * n) + column];
            var above = m.Slice(column * n, n);
            for (var row = column + 1; row < n; row++)
            {
                var lower = m.Slice((row * n) + column + 1, row - column - 1);
                var sum = (m[(row * n) + column] * inverse) + Sliding.Dot(lower, above.Slice(column + 1, row - column - 1));
                above[row] = -sum / m[(row * n) + row];
            }
        }
    }

    // (L⁻¹)ᵀ·L⁻¹: row i of the result from rows i and j of the transposed inverse factor.
    private static void MultiplyBack(Span<double> m, int n)
    {
        Span<double> diagonal = n <= 256 ? stackalloc double[n] : new double[n];
        for (var i = 0; i < n; i++)
        {
            diagonal[i] = 1 / m[(i * n) + i];
        }

        for (var i = 0; i < n; i++)
        {
            for (var j = i; j < n; j++)
            {
                var tail = Sliding.Dot(m.Slice((i * n) + j + 1, n - j - 1), m.Slice((j * n) + j + 1, n - j - 1));
                var head = (i == j ? diagonal[i] : m[(i * n) + j]) * diagonal[j];
                m[(j * n) + i] = head + tail;
            }
        }

        for (var i = 0; i < n; i++)
        {
            for (var j = i + 1; j < n; j++)
            {
                m[(i * n) + j] = m[(j * n) + i];
            }
        }
    }
}
