using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace Acquire.Core.Thermometry;

/// <summary>A point of an inverse function: temperature, °C, with its first and second derivative by emf, °C/mV and °C/mV².</summary>
internal readonly record struct InversePoint(double Celsius, double Slope, double Curvature);

/// <summary>A polynomial of degree five on 0 to 1: temperature, °C, within one step of emf.</summary>
internal readonly record struct Quintic(double C0, double C1, double C2, double C3, double C4, double C5)
{
    /// <summary>Gives no number anywhere.</summary>
    public static readonly Quintic None = new(double.NaN, 0, 0, 0, 0, 0);

    /// <summary>Whether it gives numbers.</summary>
    public bool IsSome => !double.IsNaN(C0);

    /// <summary>The one that has value, slope and curvature of two points a width, mV, apart (Hermite's interpolation).</summary>
    public static Quintic Through(InversePoint from, InversePoint to, double widthMillivolts)
    {
        var (a, b, c) = (from.Celsius, from.Slope * widthMillivolts, from.Curvature * widthMillivolts * widthMillivolts / 2);
        var value = to.Celsius - a - b - c;
        var slope = (to.Slope * widthMillivolts) - b - (2 * c);
        var curvature = (to.Curvature * widthMillivolts * widthMillivolts) - (2 * c);
        return new(a, b, c, (10 * value) - (4 * slope) + (curvature / 2), (-15 * value) + (7 * slope) - curvature, (6 * value) - (3 * slope) + (curvature / 2));
    }

    /// <summary>Value at u.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public double At(double u)
    {
        var value = Math.FusedMultiplyAdd(C5, u, C4);
        value = Math.FusedMultiplyAdd(value, u, C3);
        value = Math.FusedMultiplyAdd(value, u, C2);
        value = Math.FusedMultiplyAdd(value, u, C1);
        return Math.FusedMultiplyAdd(value, u, C0);
    }

    /// <summary>Values at four u of one polynomial, with the bits of four single values.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public Vector256<double> At(Vector256<double> u)
    {
        var value = Vector256.FusedMultiplyAdd(Vector256.Create(C5), u, Vector256.Create(C4));
        value = Vector256.FusedMultiplyAdd(value, u, Vector256.Create(C3));
        value = Vector256.FusedMultiplyAdd(value, u, Vector256.Create(C2));
        value = Vector256.FusedMultiplyAdd(value, u, Vector256.Create(C1));
        return Vector256.FusedMultiplyAdd(value, u, Vector256.Create(C0));
    }

    /// <summary>Values at four u of four polynomials, with the bits of four single values.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<double> At(in Quintic p, in Quintic q, in Quintic r, in Quintic s, Vector256<double> u)
    {
        var value = Vector256.FusedMultiplyAdd(Vector256.Create(p.C5, q.C5, r.C5, s.C5), u, Vector256.Create(p.C4, q.C4, r.C4, s.C4));
        value = Vector256.FusedMultiplyAdd(value, u, Vector256.Create(p.C3, q.C3, r.C3, s.C3));
        value = Vector256.FusedMultiplyAdd(value, u, Vector256.Create(p.C2, q.C2, r.C2, s.C2));
        value = Vector256.FusedMultiplyAdd(value, u, Vector256.Create(p.C1, q.C1, r.C1, s.C1));
        return Vector256.FusedMultiplyAdd(value, u, Vector256.Create(p.C0, q.C0, r.C0, s.C0));
    }
}
