using Acquire.Core;
using Acquire.Core.Thermometry;

namespace Acquire.Service.CommandLine.Converting;

/// <summary>NTC thermistors by the equation of Steinhart and Hart.</summary>
internal sealed class ConvertThermistor() : ConvertSensor("ntc")
{
    // Beyond, no thermistor works and the equation was fitted to none: common practice, no source.
    private const double ColdestCelsius = -200;
    private const double HottestCelsius = 1000;
    private const double MostOhms = 1e8;

    public override IReadOnlyList<string> Signals => [ConvertOptions.Ohms, ConvertOptions.Kiloohms];

    public override IReadOnlyList<string> Needed => [ConvertOptions.ThermistorA, ConvertOptions.ThermistorB, ConvertOptions.ThermistorC];

    public override ConvertReport? FromSignal(string option, IReadOnlyDictionary<string, double> given, List<InputError> errors)
    {
        var ohms = option == ConvertOptions.Ohms ? given[option] : given[option] * 1000;
        if (!TryRead(given, errors, out var sensor))
        {
            return null;
        }

        if (!(ohms is > 0 and <= MostOhms))
        {
            errors.Add(new(option, ConvertText.Say($"{ohms:G9} ohm is not above 0 and up to {MostOhms:0} ohm")));
            return null;
        }

        var celsius = Thermistor.Celsius(ohms, sensor);
        if (!(celsius is >= ColdestCelsius and <= HottestCelsius))
        {
            errors.Add(new(option, ConvertText.Say($"{ohms:G9} ohm has no temperature within {ColdestCelsius} to {HottestCelsius} °C by these coefficients")));
            return null;
        }

        return Report(celsius, ohms, sensor, fromSignal: true);
    }

    public override ConvertReport? ToSignal(double celsius, IReadOnlyDictionary<string, double> given, List<InputError> errors)
    {
        if (!TryRead(given, errors, out var sensor))
        {
            return null;
        }

        if (!(celsius is >= ColdestCelsius and <= HottestCelsius))
        {
            errors.Add(new(ConvertOptions.Celsius, ConvertText.Outside(celsius, ColdestCelsius, HottestCelsius, "°C", Name)));
            return null;
        }

        var ohms = Thermistor.Ohms(celsius, sensor);
        if (!(ohms is > 0 and <= MostOhms))
        {
            errors.Add(new(ConvertOptions.Celsius, ConvertText.Say($"at {celsius} °C these coefficients have no resistance above 0 and up to {MostOhms:0} ohm")));
            return null;
        }

        return Report(celsius, ohms, sensor, fromSignal: false);
    }

    private static bool TryRead(IReadOnlyDictionary<string, double> given, List<InputError> errors, out ThermistorSensor sensor)
    {
        sensor = new(given[ConvertOptions.ThermistorA], given[ConvertOptions.ThermistorB], given[ConvertOptions.ThermistorC]);
        var error = Thermistor.Check(sensor, "--ntc-a, --ntc-b, --ntc-c");
        if (error is not null)
        {
            errors.Add(error);
        }

        return error is null;
    }

    private static ConvertReport Report(double celsius, double ohms, ThermistorSensor sensor, bool fromSignal)
    {
        // The slope of 1/T = A + B ln R + C (ln R)³, turned round.
        var kelvin = ThermometerUnits.FromBase(celsius, ThermometerUnit.Kelvin);
        var ln = Math.Log(ohms);
        return new("ntc", celsius, fromSignal)
        {
            Ohms = ohms,
            SensitivityOhmPerC = -ohms / (kelvin * kelvin * (sensor.B + (3 * sensor.C * ln * ln))),
            Notes = ["how well the coefficients fit this thermistor is in its data sheet, not in the equation"],
        };
    }
}
