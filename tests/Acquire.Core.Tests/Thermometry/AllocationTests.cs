using Acquire.Core.Thermometry;
using Xunit;

namespace Acquire.Core.Tests.Thermometry;

public sealed class AllocationTests
{
    private static readonly PlatinumSensor Platinum = new(100, 3, 0.01, PlatinumTolerance.A);
    private static readonly ThermistorSensor Ntc = new(1.129241e-3, 2.341077e-4, 8.775468e-8);
    private static readonly TransmitterSensor Loop = new(TransmitterSignal.FourToTwentyMilliampere, 0, 400);
    private static readonly LiquidInGlassSensor Glass = new(ThermometricLiquid.Mercury, 0, 40, null);

    private static readonly CalibrationCurve Curve = new(new()
    {
        Number = "K-2026-0417",
        CalibratedOn = new(2026, 3, 2),
        DueOn = new(2027, 3, 2),
        Interpolation = CalibrationInterpolation.MonotoneCubic,
        Points = [new(0, 0.02, 0.05), new(100, -0.11, 0.08), new(200, -0.35, 0.12)],
    });

    private static double Everything(double x, ReadOnlySpan<double> ohms, Span<double> celsius)
    {
        PlatinumThermometer.ToCelsius(ohms, 100, celsius);
        _ = PlatinumThermometer.TryCelsius(PlatinumThermometer.WithoutLeads(100 + x, Platinum), 100, out var platinum);
        _ = ThermometerUnits.TryParse("kohm", out var unit);
        return platinum + PlatinumThermometer.OhmsPerCelsius(x, 100) + PlatinumThermometer.ToleranceCelsius(PlatinumTolerance.B, x)
            + Thermistor.Celsius(10_000 + x, Ntc) + Thermistor.Ohms(x, Ntc) + Transmitter.Read(4 + (x / 10), Loop).Celsius
            + ThermometerUnits.ToBase(x, unit) + EmergentStem.CorrectionCelsius(x, Glass) + Curve.At(x).CorrectionCelsius;
    }

    [Fact]
    public void No_conversion_allocates()
    {
        double[] ohms = new double[100], celsius = new double[100];
        var sum = Everything(1, ohms, celsius);

        Assert.Equal(0, Allocations.LeastBytes(() => () =>
        {
            for (var i = 0; i < 1000; i++)
            {
                sum += Everything(i * 0.1, ohms, celsius);
            }
        }));
        Assert.True(double.IsFinite(sum));
    }
}
