using System.Runtime.Intrinsics;

namespace Acquire.Core.Thermometry;

/// <summary>One subrange of a reference function: emf, mV, from temperature, °C.</summary>
/// <remarks>Single numbers and vectors go through the same fused steps in the same order, so that a span of readings gives the bits of single conversions.</remarks>
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

    /// <summary>Low end, °C; it belongs to the colder piece, where there is one.</summary>
    public double LowestCelsius { get; }

    /// <summary>High end, °C; it belongs to this piece.</summary>
    public double HighestCelsius { get; }

    /// <summary>Emf at the high end, mV.</summary>
    public double HighestMillivolts { get; }

    /// <summary>Emf, mV.</summary>
    public double Emf(double celsius)
    {
        var value = Polynomial.Value(_falling, celsius);
        return _hasExponential ? value + Bell(celsius - _a2) : value;
    }

    /// <summary>Emfs, mV, of four temperatures.</summary>
    public Vector256<double> Emf(Vector256<double> celsius)
    {
        var value = Polynomial.Value(_falling, celsius);
        return _hasExponential ? value + Bell(celsius - Vector256.Create(_a2)) : value;
    }

    /// <summary>Emf, mV, its slope, mV/°C, and half its curvature, mV/°C².</summary>
    public void Expand(double celsius, out double value, out double slope, out double halfCurvature)
    {
        Polynomial.Expand(_falling, celsius, out value, out slope, out halfCurvature);
        if (_hasExponential)
        {
            var u = celsius - _a2;
            var bell = Bell(u);
            var lean = 2 * _a1 * u;
            value += bell;
            slope += lean * bell;
            halfCurvature += (_a1 + (lean * lean / 2)) * bell;
        }
    }

    // The exponential made for vectors, for one number too: Math.Exp may round the last bit differently.
    private double Bell(double u) => _a0 * Vector128.Exp(Vector128.Create(_a1 * u * u)).ToScalar();

    private Vector256<double> Bell(Vector256<double> u) => Vector256.Create(_a0) * Vector256.Exp(Vector256.Create(_a1) * u * u);
}
