using Acquire.Core.Thermometry;

namespace Acquire.Simulator;

/// <summary>Turns disturbances that other options know already into those options.</summary>
internal static class DisturbedOptions
{
    // Within the controlled band of every method with one, and over before the flash point.
    private const double OvershootFromCelsius = 24, OvershootToCelsius = 6;

    /// <summary>The options as they act.</summary>
    public static SimulatorOptions Of(SimulatorOptions options)
    {
        if (options.Disturbances.Count == 0)
        {
            return options;
        }

        var bench = options.Disturbances.SelectMany(Bench).ToArray();
        var breaks = options.Disturbances.Of(DisturbanceKind.SensorBreak).Select(one => new SimulatedFault(Break(options), one.From, Length(one))).ToArray();
        return options with
        {
            Bench = options.Bench with { Faults = [.. options.Bench.Faults, .. bench] },
            Thermometer = options.Thermometer with { Faults = [.. options.Thermometer.Faults, .. breaks] },
            Excursion = options.Disturbances.Of(DisturbanceKind.HeaterOvershoot) is [var first, ..] && !options.IsEquilibrium
                ? new(OvershootFromCelsius, OvershootToCelsius, first.StrengthOrUsual * RampProfile.NominalPerMinute(options))
                : options.Excursion,
        };
    }

    private static IEnumerable<BenchFault> Bench(Disturbance one) => one.Kind switch
    {
        DisturbanceKind.Draught => [new(BenchFaultKind.Draught, one.From, Length(one))],
        DisturbanceKind.FlameOut => [new(BenchFaultKind.FlameOut, one.From, Length(one))],
        _ => [],
    };

    private static SimulatedFaultKind Break(SimulatorOptions options) =>
        ThermometerUnits.Quantity(options.Thermometer.Chain.Unit) == ThermometerQuantity.Temperature
            ? SimulatedFaultKind.Silent
            : SimulatedFaultKind.OpenCircuit;

    private static double Length(Disturbance one) => one.LengthSeconds ?? SimulatedFault.LongestSeconds;
}
