using System.Numerics;
using System.Runtime.InteropServices;

namespace Acquire.Core.Detection;

/// <summary>Inverse of the covariance of evenly spaced points, by way of their <see cref="Predictor"/>; offset and drift are put in as two changes of rank one.</summary>
/// <remarks>The same as by <see cref="SymmetricInverse"/>, in time that grows with the square of the number of points instead of the cube. What is slow must not be too high above the noise, or digits are lost.</remarks>
/// <param name="Predictor">Of the points without offset and drift.</param>
/// <param name="Error">Variance of its error.</param>
/// <param name="Offset">That inverse times a constant 1.</param>
/// <param name="OffsetScale">By what the square of <paramref name="Offset"/> is divided where it is taken off.</param>
/// <param name="Drift">That inverse times a drift of 1 per second.</param>
/// <param name="DriftScale">Likewise.</param>
/// <param name="LogDeterminant">Logarithm of the determinant of the covariance, all included.</param>
internal sealed record EvenInverse(double[] Predictor, double Error, double[] Offset, double OffsetScale, double[] Drift, double DriftScale, double LogDeterminant)
{
    // Above this height of what is slow, in deviations of the noise, the costlier way is gone.
    private const double MostSlow = 1000;

    /// <summary>Fills the inverse; null where the costlier way has to be gone.</summary>
    /// <param name="course">The nuisance.</param>
    /// <param name="points">How many points.</param>
    /// <param name="spacing">Time between them, s.</param>
    /// <param name="inverse">Room for the inverse, row by row.</param>
    public static EvenInverse? Fill(NuisanceCourse course, int points, double spacing, Span<double> inverse)
    {
        Span<double> covariances = stackalloc double[points];
        var free = course.FillEven(spacing, covariances);
        var predictor = new double[points];
        if (course.Slow > MostSlow || !(free > 0) || Detection.Predictor.Of(covariances, predictor) is not { } made)
        {
            return null;
        }

        Detection.Predictor.Invert(predictor, made.Error, inverse);
        var (offset, drift) = (new double[points], new double[points]);
        double ofOffset = 1 / free, ofDrift = 1 / (course.Free * course.Free);
        Span<double> times = stackalloc double[points];
        for (var i = 0; i < points; i++)
        {
            times[i] = (i - (0.5 * (points - 1))) * spacing;
        }

        for (var i = 0; i < points; i++)
        {
            var row = inverse.Slice(i * points, points);
            (offset[i], drift[i]) = (Sum(row), Sliding.Dot(row, times));
            ofOffset += offset[i];
            ofDrift += drift[i] * times[i];
        }

        if (!(ofOffset > 0 && ofDrift > 0))
        {
            return null;
        }

        for (var i = 0; i < points; i++)
        {
            Subtract(inverse.Slice(i * points, points), offset, offset[i] / ofOffset, drift, drift[i] / ofDrift);
        }

        var logarithm = made.LogDeterminant + Math.Log(free * ofOffset) + Math.Log(course.Free * course.Free * ofDrift);
        return new(predictor, made.Error, offset, ofOffset, drift, ofDrift, logarithm);
    }

    /// <summary>Sum of values.</summary>
    public static double Sum(ReadOnlySpan<double> values)
    {
        var wide = MemoryMarshal.Cast<double, Vector<double>>(values);
        var sums = Vector<double>.Zero;
        foreach (var four in wide)
        {
            sums += four;
        }

        var sum = Vector.Sum(sums);
        foreach (var value in values[(wide.Length * Vector<double>.Count)..])
        {
            sum += value;
        }

        return sum;
    }

    private static void Subtract(Span<double> row, ReadOnlySpan<double> a, double byA, ReadOnlySpan<double> b, double byB)
    {
        var (wideA, wideB) = (new Vector<double>(byA), new Vector<double>(byB));
        var to = MemoryMarshal.Cast<double, Vector<double>>(row);
        var fromA = MemoryMarshal.Cast<double, Vector<double>>(a);
        var fromB = MemoryMarshal.Cast<double, Vector<double>>(b);
        for (var i = 0; i < to.Length; i++)
        {
            to[i] -= (wideA * fromA[i]) + (wideB * fromB[i]);
        }

        for (var i = to.Length * Vector<double>.Count; i < row.Length; i++)
        {
            row[i] -= (byA * a[i]) + (byB * b[i]);
        }
    }
}
