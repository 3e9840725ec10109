using Acquire.Core;
using Acquire.Core.Thermometry;

namespace Acquire.Service.CommandLine.Converting;

/// <summary>Thermocouples: emf against a reference junction.</summary>
internal sealed class ConvertThermocouple(ThermocoupleType type) : ConvertSensor($"type {type}")
{
    private readonly Thermocouple _thermocouple = Thermocouple.Of(type);

    public override IReadOnlyList<string> Signals => [ConvertOptions.EmfMillivolts, ConvertOptions.EmfMicrovolts];

    public override IReadOnlyList<string> Allowed => [ConvertOptions.JunctionCelsius];

    public override ConvertReport? FromSignal(string option, IReadOnlyDictionary<string, double> given, List<InputError> errors)
    {
        var millivolts = option == ConvertOptions.EmfMillivolts ? given[option] : given[option] / 1000;
        if (!TryJunction(given, errors, out var junction))
        {
            return null;
        }

        if (!_thermocouple.TryCelsius(millivolts, junction, out var celsius))
        {
            errors.Add(new(option, OutOfRange(millivolts, junction)));
            return null;
        }

        return Report(celsius, millivolts, junction, given, fromSignal: true);
    }

    public override ConvertReport? ToSignal(double celsius, IReadOnlyDictionary<string, double> given, List<InputError> errors)
    {
        if (!TryJunction(given, errors, out var junction))
        {
            return null;
        }

        if (!IsCovered(celsius))
        {
            errors.Add(new(ConvertOptions.Celsius, ConvertText.Outside(celsius, _thermocouple.LowestCelsius, _thermocouple.HighestCelsius, "°C", Name)));
            return null;
        }

        return Report(celsius, _thermocouple.EmfMillivolts(celsius) - _thermocouple.EmfMillivolts(junction), junction, given, fromSignal: false);
    }

    private bool TryJunction(IReadOnlyDictionary<string, double> given, List<InputError> errors, out double junction)
    {
        junction = given.GetValueOrDefault(ConvertOptions.JunctionCelsius);
        if (IsCovered(junction))
        {
            return true;
        }

        errors.Add(new(ConvertOptions.JunctionCelsius, ConvertText.Outside(junction, _thermocouple.LowestCelsius, _thermocouple.HighestCelsius, "°C", Name)));
        return false;
    }

    private bool IsCovered(double celsius) => celsius >= _thermocouple.LowestCelsius && celsius <= _thermocouple.HighestCelsius;

    private string OutOfRange(double millivolts, double junction)
    {
        var sum = millivolts + _thermocouple.EmfMillivolts(junction);
        var what = junction == 0 ? ConvertText.Say($"{millivolts:0.####} mV") : ConvertText.Say($"{millivolts:0.####} mV with the reference junction at {junction} °C makes {sum:0.####} mV and");
        var range = ConvertText.Say($"{what} is not within {_thermocouple.LowestEmfMillivolts:0.000} to {_thermocouple.HighestEmfMillivolts:0.000} mV, which is {_thermocouple.LowestInvertibleCelsius} to {_thermocouple.HighestCelsius} °C for {Name}");
        return type == ThermocoupleType.B && sum < _thermocouple.LowestEmfMillivolts
            ? range + "; below, type B gives nearly no emf, and the same emf at two temperatures, so no temperature can be told from it"
            : range;
    }

    private ConvertReport Report(double celsius, double millivolts, double junction, IReadOnlyDictionary<string, double> given, bool fromSignal)
    {
        // An emf half a printed digit beyond the end has a temperature a trifle beyond it.
        var covered = Math.Clamp(celsius, _thermocouple.LowestCelsius, _thermocouple.HighestCelsius);
        return new(type.ToString(), celsius, fromSignal)
        {
            EmfMv = millivolts + 0.0,
            EmfUv = millivolts * 1000,
            ReferenceJunctionC = junction,
            SensitivityUvPerC = _thermocouple.SensitivityMicrovoltsPerCelsius(covered),
            Tolerances = [.. Tolerances(covered)],
            Notes = [.. Notes(celsius, junction, given, fromSignal)],
        };
    }

    private IEnumerable<ConvertTolerance> Tolerances(double celsius)
    {
        for (var toleranceClass = 1; toleranceClass <= 2; toleranceClass++)
        {
            if (ThermocoupleTolerance.ToleranceCelsius(type, toleranceClass, celsius) is { } tolerance)
            {
                yield return new("IEC 60584-1", ConvertText.Say($"{toleranceClass}"), tolerance, "value from memory");
            }
        }
    }

    private IEnumerable<string> Notes(double celsius, double junction, IReadOnlyDictionary<string, double> given, bool fromSignal)
    {
        if (!given.ContainsKey(ConvertOptions.JunctionCelsius))
        {
            yield return "reference junction taken as 0 °C; at the terminals of a voltmeter it is the temperature of those terminals: give --reference-junction-c";
        }
        else if (junction != 0)
        {
            yield return ConvertText.Say($"the reference junction at {junction} °C counts as {_thermocouple.EmfMillivolts(junction):0.0000} mV; emfs are added, never temperatures");
        }

        if (!fromSignal && celsius < _thermocouple.LowestInvertibleCelsius)
        {
            yield return ConvertText.Say($"{Name} below {_thermocouple.LowestInvertibleCelsius} °C: no temperature can be told from this emf again, because it belongs to two temperatures or is too small");
        }
    }
}
