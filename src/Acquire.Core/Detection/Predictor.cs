using System.Numerics;
using System.Runtime.InteropServices;

namespace Acquire.Core.Detection;

/// <summary>Predicts an evenly read stationary course from its past by least squares: what the inverse of its covariance is made from, at a small part of what an inverse costs.</summary>
/// <remarks>N. Levinson, Journal of Mathematics and Physics 25 (1946) 261; W. F. Trench, Journal of SIAM 12 (1964) 515; values from memory.</remarks>
internal static class Predictor
{
    /// <summary>Makes it.</summary>
    /// <param name="covariances">Of points 0, 1, 2 … spacings apart; as many as there are points.</param>
    /// <param name="predictor">Receives a, of which the first is 1: the covariance times a is the error times the first unit vector.</param>
    /// <returns>Variance of the error, and the logarithm of the covariance's determinant; null where the covariance is not positive definite to working precision.</returns>
    public static (double Error, double LogDeterminant)? Of(ReadOnlySpan<double> covariances, Span<double> predictor)
    {
        var n = covariances.Length;
        Span<double> backwards = stackalloc double[n];
        Span<double> reversed = stackalloc double[n];
        for (var i = 0; i < n; i++)
        {
            reversed[n - 1 - i] = covariances[i];
        }

        predictor.Clear();
        backwards.Clear();
        predictor[0] = backwards[n - 1] = 1;
        var error = covariances[0];
        if (!(error > 0))
        {
            return null;
        }

        var logarithm = Math.Log(error);
        for (var m = 1; m < n; m++)
        {
            var reflection = -Sliding.Dot(predictor[..m], reversed.Slice(n - 1 - m, m)) / error;
            Reflect(predictor[..(m + 1)], backwards[(n - 1 - m)..], reflection);
            error *= 1 - (reflection * reflection);
            if (!(error > 0))
            {
                return null;
            }

            logarithm += Math.Log(error);
        }

        return (error, logarithm);
    }

    /// <summary>Fills the inverse of the covariance, row by row.</summary>
    /// <param name="predictor">The predictor.</param>
    /// <param name="error">Variance of its error.</param>
    /// <param name="inverse">Room for n × n values.</param>
    public static void Invert(ReadOnlySpan<double> predictor, double error, Span<double> inverse)
    {
        var n = predictor.Length;
        Span<double> backwards = stackalloc double[n];
        backwards[0] = 0;
        for (var i = 1; i < n; i++)
        {
            backwards[i] = predictor[n - i];
        }

        for (var i = 0; i < n; i++)
        {
            var row = inverse.Slice(i * n, n);
            row[0] = predictor[i] / error;
            var before = i == 0 ? default : inverse.Slice((i - 1) * n, n - 1);
            Next(before, predictor[1..], backwards[1..], predictor[i] / error, backwards[i] / error, row[1..]);
        }
    }

    // Both ways grow by one point.
    private static void Reflect(Span<double> forwards, Span<double> backwards, double reflection)
    {
        var ahead = MemoryMarshal.Cast<double, Vector<double>>(forwards);
        var back = MemoryMarshal.Cast<double, Vector<double>>(backwards);
        var by = new Vector<double>(reflection);
        for (var i = 0; i < ahead.Length; i++)
        {
            (ahead[i], back[i]) = (ahead[i] + (by * back[i]), back[i] + (by * ahead[i]));
        }

        for (var i = ahead.Length * Vector<double>.Count; i < forwards.Length; i++)
        {
            (forwards[i], backwards[i]) = (forwards[i] + (reflection * backwards[i]), backwards[i] + (reflection * forwards[i]));
        }
    }

    // A row from the one above it, moved by one place.
    private static void Next(ReadOnlySpan<double> above, ReadOnlySpan<double> a, ReadOnlySpan<double> b, double byA, double byB, Span<double> row)
    {
        var (wideA, wideB) = (new Vector<double>(byA), new Vector<double>(byB));
        var to = MemoryMarshal.Cast<double, Vector<double>>(row);
        var fromA = MemoryMarshal.Cast<double, Vector<double>>(a);
        var fromB = MemoryMarshal.Cast<double, Vector<double>>(b);
        var over = MemoryMarshal.Cast<double, Vector<double>>(above);
        for (var i = 0; i < to.Length; i++)
        {
            var own = (wideA * fromA[i]) - (wideB * fromB[i]);
            to[i] = over.IsEmpty ? own : over[i] + own;
        }

        for (var i = to.Length * Vector<double>.Count; i < row.Length; i++)
        {
            row[i] = (above.IsEmpty ? 0 : above[i]) + (byA * a[i]) - (byB * b[i]);
        }
    }
}
