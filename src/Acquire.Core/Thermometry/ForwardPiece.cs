using System.Runtime.Intrinsics;

namespace Acquire.Core.Thermometry;

/// <summary>One subrange of a reference function: emf, mV, from temperature, °C.</summary>
/// <remarks>Numbers and vectors go through the same fused steps in the same order, so that a batch gives the bits of single conversions.</remarks>
internal sealed class ForwardPiece
{
    private readonly double[] _falling;
    private readonly bool _hasExponential;
    private readonly double _a0;
    private readonly double _a1;
    private readonly double _a2;

    public ForwardPiece(ForwardRow row)
    {
        LowestCelsius = row.LowestCelsius;
        HighestCelsius = row.HighestCelsius;
        _falling = Polynomial.Falling(row.C);
        _hasExponential = row.Exponential is not null;
        (_a0, _a1, _a2) = row.Exponential is { } term ? (term.A0, term.A1, term.A2) : default;
        HighestMillivolts = Emf(HighestCelsius);
    }

    /// <summary>Low end, °C.</summary>
    public double LowestCelsius { get; }

    /// <summary>High end, °C; it belongs to this piece.</summary>
    public double HighestCelsius { get; }

    /// <summary>Emf at the high end, mV.</summary>
    public double HighestMillivolts { get; }

    /// <summary>Emf, mV.</summary>
    public double Emf(double celsius)
    {
        var value = Polynomial.Value(_falling, celsius);
        return _hasExponential ? value + Gauss(celsius - _a2) : value;
    }

    /// <summary>Emf, mV, of four temperatures.</summary>
    public Vector256<double> Emf(Vector256<double> celsius)
    {
        var value = Polynomial.Value(_falling, celsius);
        return _hasExponential ? value + Gauss(celsius - Vector256.Create(_a2)) : value;
    }

    /// <summary>Emf, mV, its slope, mV/°C, and half its curvature, mV/°C².</summary>
    public void Expand(double celsius, out double value, out double slope, out double halfCurvature)
    {
        Polynomial.Expand(_falling, celsius, out value, out slope, out halfCurvature);
        if (_hasExponential)
        {
            var u = celsius - _a2;
            var gauss = Gauss(u);
            var lean = _a1 * u;
            value += gauss;
            slope = Math.FusedMultiplyAdd(lean + lean, gauss, slope);
            halfCurvature = Math.FusedMultiplyAdd(Math.FusedMultiplyAdd(lean + lean, lean, _a1), gauss, halfCurvature);
        }
    }

    /// <summary>Emf, mV, its slope, mV/°C, and half its curvature, mV/°C², at four temperatures.</summary>
    public void Expand(Vector256<double> celsius, out Vector256<double> value, out Vector256<double> slope, out Vector256<double> halfCurvature)
    {
        Polynomial.Expand(_falling, celsius, out value, out slope, out halfCurvature);
        if (_hasExponential)
        {
            var u = celsius - Vector256.Create(_a2);
            var gauss = Gauss(u);
            var lean = Vector256.Create(_a1) * u;
            value += gauss;
            slope = Vector256.FusedMultiplyAdd(lean + lean, gauss, slope);
            halfCurvature = Vector256.FusedMultiplyAdd(Vector256.FusedMultiplyAdd(lean + lean, lean, Vector256.Create(_a1)), gauss, halfCurvature);
        }
    }

    // The exponential of vectors, also for one number: Math.Exp rounds the last bit differently.
    private double Gauss(double u) => _a0 * Vector128.Exp(Vector128.Create(_a1 * u * u)).ToScalar();

    private Vector256<double> Gauss(Vector256<double> u) => Vector256.Create(_a0) * Vector256.Exp(Vector256.Create(_a1) * u * u);
}
