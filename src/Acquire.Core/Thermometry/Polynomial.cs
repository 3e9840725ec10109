using System.Runtime.Intrinsics;

namespace Acquire.Core.Thermometry;

/// <summary>Polynomials by Horner's rule with fused multiply-add; coefficients by falling power.</summary>
internal static class Polynomial
{
    /// <summary>Published coefficients come by rising power.</summary>
    public static double[] Falling(double[] rising)
    {
        var falling = (double[])rising.Clone();
        Array.Reverse(falling);
        return falling;
    }

    /// <summary>Value at x.</summary>
    public static double Value(double[] falling, double x)
    {
        var value = falling[0];
        for (var i = 1; i < falling.Length; i++)
        {
            value = Math.FusedMultiplyAdd(value, x, falling[i]);
        }

        return value;
    }

    /// <summary>Values at four x.</summary>
    public static Vector256<double> Value(double[] falling, Vector256<double> x)
    {
        var value = Vector256.Create(falling[0]);
        for (var i = 1; i < falling.Length; i++)
        {
            value = Vector256.FusedMultiplyAdd(value, x, Vector256.Create(falling[i]));
        }

        return value;
    }

    /// <summary>Value, first derivative and half the second derivative at x, in one pass.</summary>
    public static void Expand(double[] falling, double x, out double value, out double slope, out double halfCurvature)
    {
        double v = falling[0], s = 0, h = 0;
        for (var i = 1; i < falling.Length; i++)
        {
            h = Math.FusedMultiplyAdd(h, x, s);
            s = Math.FusedMultiplyAdd(s, x, v);
            v = Math.FusedMultiplyAdd(v, x, falling[i]);
        }

        (value, slope, halfCurvature) = (v, s, h);
    }

    /// <summary>Values, first derivatives and half the second derivatives at four x, in one pass.</summary>
    public static void Expand(double[] falling, Vector256<double> x, out Vector256<double> value, out Vector256<double> slope, out Vector256<double> halfCurvature)
    {
        Vector256<double> v = Vector256.Create(falling[0]), s = default, h = default;
        for (var i = 1; i < falling.Length; i++)
        {
            h = Vector256.FusedMultiplyAdd(h, x, s);
            s = Vector256.FusedMultiplyAdd(s, x, v);
            v = Vector256.FusedMultiplyAdd(v, x, Vector256.Create(falling[i]));
        }

        (value, slope, halfCurvature) = (v, s, h);
    }
}
