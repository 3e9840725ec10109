using System.Runtime.Intrinsics;

namespace Acquire.Core.Thermometry;

/// <summary>Polynomials by Horner's rule with fused multiply-add; coefficients by falling power.</summary>
internal static class Polynomial
{
    /// <summary>Coefficients by falling power from those by rising power, as they are published.</summary>
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

    /// <summary>Values at four x, with the bits of four single values.</summary>
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
}
