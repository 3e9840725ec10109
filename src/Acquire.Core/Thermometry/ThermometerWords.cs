using System.Globalization;

namespace Acquire.Core.Thermometry;

/// <summary>A chain in words, one sentence a step, in the order in which the steps are made.</summary>
public static class ThermometerWords
{
    /// <summary>The steps from the signal to the temperature.</summary>
    public static IReadOnlyList<string> Steps(ThermometerChain chain)
    {
        ArgumentNullException.ThrowIfNull(chain);
        var steps = new List<string> { $"Signal in {ThermometerUnits.Symbol(chain.Unit)}" };
        Sensor(steps, chain.Sensor);
        steps.Add(chain.Calibration is { } certificate ? Certificate(certificate) : "No calibration certificate");
        if (chain.Sensor is LiquidInGlassSensor stem)
        {
            steps.Add(Say($"Emergent stem from {stem.ImmersedToCelsius} °C on the scale, its mean temperature {stem.StemCelsius} °C"));
        }

        steps.Add(chain.Lag is not { } lag ? "Lag unknown, not corrected"
            : Say($"Lag {lag.TimeConstantSeconds} s, ") + (lag.Correct ? "corrected: the method's precision does not hold" : "not corrected"));
        return steps;
    }

    private static void Sensor(List<string> steps, ThermometerSensor sensor)
    {
        switch (sensor)
        {
            case ThermocoupleSensor couple:
                steps.Add("Reference junction " + couple.ReferenceJunction switch
                {
                    ReferenceJunctionKind.Measured => "measured by the tester, added as emf",
                    ReferenceJunctionKind.Fixed => Say($"held at {couple.JunctionCelsius} °C, added as emf"),
                    _ => "compensated by the tester",
                });
                steps.Add($"Thermocouple type {couple.Type}, ITS-90 reference function (IEC 60584-1), inverted exactly");
                break;
            case PlatinumSensor platinum:
                var leads = platinum.LeadOhms is { } ohms and not 0 ? Say($", {ohms} ohm of leads taken off") : "";
                var tolerance = platinum.Tolerance is { } letter ? $", tolerance class {letter}" : "";
                steps.Add(Say($"Platinum thermometer (IEC 60751), R0 {platinum.R0Ohms} ohm, {platinum.Wires} wires{leads}{tolerance}"));
                break;
            case ThermistorSensor ntc:
                steps.Add(Say($"NTC thermistor by Steinhart-Hart, A {ntc.A:G6}, B {ntc.B:G6}, C {ntc.C:G6}"));
                break;
            case TransmitterSensor transmitter:
                var span = transmitter.Signal == TransmitterSignal.FourToTwentyMilliampere ? "4-20 mA" : "0-10 V";
                steps.Add(Say($"Transmitter {span} for {transmitter.LowCelsius} to {transmitter.HighCelsius} °C"));
                break;
            case LiquidInGlassSensor glass:
                steps.Add(glass.Liquid == ThermometricLiquid.Mercury ? "Mercury-in-glass thermometer" : "Organic-liquid-in-glass thermometer");
                break;
            default:
                steps.Add("Temperature as the tester makes it; nothing is known about its sensor");
                break;
        }
    }

    private static string Certificate(CalibrationCertificate certificate)
    {
        var worst = certificate.Points.Max(point => point.ExpandedUncertaintyCelsius);
        var between = certificate.Interpolation == CalibrationInterpolation.Linear ? "linear" : "monotone cubic";
        var points = certificate.Points.Count == 1 ? Say($"at {certificate.Points[0].ReadingCelsius} °C only")
            : Say($"{certificate.Points.Count} points from {certificate.Points[0].ReadingCelsius} to {certificate.Points[^1].ReadingCelsius} °C, {between}");
        return Say($"Calibration {certificate.Number} of {Text.Day(certificate.CalibratedOn)}, due {Text.Day(certificate.DueOn)}: {points}, U up to {worst} °C (k = {certificate.CoverageFactor})");
    }

    private static string Say(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
