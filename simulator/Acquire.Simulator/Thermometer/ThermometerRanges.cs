using System.Globalization;
using Acquire.Core;
using Acquire.Core.Thermometry;

namespace Acquire.Simulator;

/// <summary>Which thermometers and faults of them a simulated tester can have.</summary>
internal static class ThermometerRanges
{
    private const int MostFaults = 100;

    // A run ends a few applications, or some seconds of fire, above its last point.
    private const double AboveLastPointCelsius = 40;

    public static IEnumerable<InputError> Check(SimulatorOptions options)
    {
        var chain = options.Thermometer.Chain;
        return CheckChain(options, chain).Select(error => error with { Path = "thermometer.chain." + error.Path }).Concat(CheckFaults(options.Thermometer));
    }

    private static IEnumerable<InputError> CheckChain(SimulatorOptions options, ThermometerChain chain)
    {
        var mistakes = ThermometerRules.Check(chain, SendsJunction(chain.Sensor));
        return mistakes.Count > 0 ? mistakes : CheckReach(options, new(chain));
    }

    private static IEnumerable<InputError> CheckReach(SimulatorOptions options, SensorOutput output)
    {
        var hottest = Math.Max(options.FireCelsius ?? options.FlashCelsius, options.Expected) + AboveLastPointCelsius;
        if (!(hottest <= output.HottestCelsius))
        {
            yield return new("sensor", Show($"ends at {output.HottestCelsius} °C, but this run goes to about {hottest} °C"));
        }
        else if (!double.IsFinite(output.At(options.Start, options.AmbientCelsius) + output.At(hottest, options.AmbientCelsius) + output.FullScale))
        {
            yield return new("sensor", Show($"gives no signal from {options.Start} to {hottest} °C, where this run goes"));
        }

        // One end may be the usual one, so the rules of the chain cannot see this.
        if (!(output.LowEnd < output.FullScale))
        {
            yield return new("limits.converterLow", "is not below the high end of the converter");
        }
    }

    private static IEnumerable<InputError> CheckFaults(SimulatedThermometer thermometer)
    {
        if (thermometer.Faults.Count > MostFaults)
        {
            return [new("thermometer.faults", Show($"{thermometer.Faults.Count} faults are more than {MostFaults}"))];
        }

        return thermometer.Faults.SelectMany((fault, index) => CheckFault(thermometer.Chain, fault, string.Create(CultureInfo.InvariantCulture, $"thermometer.faults[{index}]")));
    }

    private static IEnumerable<InputError> CheckFault(ThermometerChain chain, SimulatedFault fault, string path)
    {
        if (Impossible(chain, fault.Kind) is { } reason)
        {
            yield return new(path, $"'{fault.Word}' cannot be: {reason}");
        }

        if (!(fault.StartSeconds is >= 0 and <= SimulatedFault.LongestSeconds))
        {
            yield return new(path + ".startSeconds", Show($"{fault.StartSeconds} is not within 0 to {SimulatedFault.LongestSeconds}"));
        }

        if (!(fault.LengthSeconds is >= 0.001 and <= SimulatedFault.LongestSeconds))
        {
            yield return new(path + ".lengthSeconds", Show($"{fault.LengthSeconds} is not within 0.001 to {SimulatedFault.LongestSeconds}"));
        }
    }

    private static string? Impossible(ThermometerChain chain, SimulatedFaultKind kind) => kind switch
    {
        SimulatedFaultKind.OpenCircuit or SimulatedFaultKind.ShortCircuit when ThermometerUnits.Quantity(chain.Unit) == ThermometerQuantity.Temperature =>
            "the tester sends a temperature, and what its wires do is not seen",
        SimulatedFaultKind.Reversed when ThermometerUnits.Quantity(chain.Unit) is ThermometerQuantity.Temperature or ThermometerQuantity.Resistance =>
            "a temperature or a resistance has no polarity",
        SimulatedFaultKind.JunctionSilent when !SendsJunction(chain.Sensor) =>
            "the tester sends no temperature of a reference junction",
        _ => null,
    };

    private static bool SendsJunction(ThermometerSensor sensor) => sensor is ThermocoupleSensor { ReferenceJunction: ReferenceJunctionKind.Measured };

    private static string Show(FormattableString text) => FormattableString.Invariant(text);
}
