using Acquire.Core.Thermometry;

namespace Acquire.Simulator;

/// <summary>What a thermometer with a certificate or an emergent stem shows: wrong by just as much as is corrected later.</summary>
/// <remarks>A certificate's correction belongs to the reading, not to the temperature; so the reading is sought whose correction leads to the temperature.</remarks>
internal sealed class ShownTemperature
{
    // Wider than any stem correction of a thermometer that exists, °C.
    private const double WidestStemCelsius = 300;

    // Halves the bracket to well below a millionth of a degree.
    private const int Halvings = 40;

    private readonly CalibrationCurve? curve;
    private readonly LiquidInGlassSensor? stem;
    private readonly double leastCorrectionCelsius;
    private readonly double mostCorrectionCelsius;

    public ShownTemperature(ThermometerChain chain)
    {
        stem = chain.Sensor as LiquidInGlassSensor;
        if (chain.Calibration is { } certificate)
        {
            curve = new(certificate);
            leastCorrectionCelsius = certificate.Points.Min(point => point.CorrectionCelsius);
            mostCorrectionCelsius = certificate.Points.Max(point => point.CorrectionCelsius);
        }
    }

    /// <summary>What the thermometer shows at a temperature, °C.</summary>
    public double At(double celsius)
    {
        // The certificate is for what the scale shows, so the reading is corrected first and its column after that; here the other way round.
        var scale = stem is null ? celsius : Solve(reading => reading + EmergentStem.CorrectionCelsius(reading, stem), celsius, celsius - WidestStemCelsius, celsius + WidestStemCelsius);
        return curve is null ? scale : Solve(reading => reading + curve.At(reading).CorrectionCelsius, scale, scale - mostCorrectionCelsius, scale - leastCorrectionCelsius);
    }

    private static double Solve(Func<double, double> corrected, double wanted, double low, double high)
    {
        for (var halving = 0; halving < Halvings; halving++)
        {
            var middle = (low + high) / 2;
            if (corrected(middle) < wanted)
            {
                low = middle;
            }
            else
            {
                high = middle;
            }
        }

        return (low + high) / 2;
    }
}
