using Acquire.Core.Thermometry;

namespace Acquire.Simulator;

/// <summary>What a tester's thermometer delivers for a temperature of its sensor, before anything is made of it; faults included.</summary>
/// <remarks>Ask for moments in order of time. Each moment draws the same numbers whether there is a fault or not, so faults change their own rows only.</remarks>
internal sealed class SignalSource
{
    // Wild readings: how wild, °C, and how often.
    private const double LeastWildCelsius = 40, MostWildCelsius = 150, WildEverySeconds = 2;

    private readonly IReadOnlyList<SimulatedFault> faults;
    private readonly ShownTemperature shown;
    private readonly SensorOutput output;
    private readonly Converter converter;
    private readonly SimulatorRandom faultRandom;
    private readonly bool sendsJunction;
    private readonly double driftCelsiusPerSecond;
    private double lastSignal = double.NaN;
    private double nextWildSeconds = double.NegativeInfinity;

    public SignalSource(SimulatorOptions options)
    {
        var chain = options.Thermometer.Chain;
        faults = options.Thermometer.Faults;
        shown = new(chain);
        driftCelsiusPerSecond = options.Thermometer.DriftCelsiusPerHour / 3600;
        output = new(chain);
        // A plain thermometer keeps the numbers it has always had.
        converter = new(options.Thermometer, output, new(options.Seed, chain.IsPlain ? RandomPurpose.Thermometer : RandomPurpose.Signal));
        faultRandom = new(options.Seed, RandomPurpose.ThermometerFaults);
        sendsJunction = chain.Sensor is ThermocoupleSensor { ReferenceJunction: ReferenceJunctionKind.Measured };
    }

    /// <summary>What is sent at a moment.</summary>
    /// <param name="seconds">The moment, s.</param>
    /// <param name="specimenCelsius">Temperature of the sensor, lag included, °C.</param>
    /// <param name="junctionCelsius">Temperature of a reference junction, °C.</param>
    /// <param name="sensedCelsius">The same as the tester's own sensor has it, °C.</param>
    public ThermometerReading Read(double seconds, double specimenCelsius, double junctionCelsius, double sensedCelsius)
    {
        var fault = Fault(seconds);
        if (fault?.Kind != SimulatedFaultKind.Jump)
        {
            nextWildSeconds = double.NegativeInfinity;
        }

        var terminals = Terminals(fault, seconds, shown.At(specimenCelsius) + (driftCelsiusPerSecond * seconds), junctionCelsius);
        var signal = converter.Convert(output.Compensated(terminals, sensedCelsius));
        if (fault?.Kind == SimulatedFaultKind.Stuck && !double.IsNaN(lastSignal))
        {
            signal = lastSignal;
        }

        lastSignal = signal;
        return new(
            fault?.Kind == SimulatedFaultKind.Silent ? null : signal,
            sendsJunction && !faults.Any(other => other.Kind == SimulatedFaultKind.JunctionSilent && other.IsAt(seconds)) ? sensedCelsius : null);
    }

    private double Terminals(SimulatedFault? fault, double seconds, double shownCelsius, double junctionCelsius) => fault?.Kind switch
    {
        SimulatedFaultKind.OpenCircuit => output.Open,
        SimulatedFaultKind.ShortCircuit => output.Shorted,
        SimulatedFaultKind.Reversed => -output.At(shownCelsius, junctionCelsius),
        SimulatedFaultKind.Saturated => output.Overdriven,
        SimulatedFaultKind.OutOfRange => output.BeyondAnyTemperature(junctionCelsius),
        SimulatedFaultKind.Jump => output.At(shownCelsius + WildCelsius(seconds), junctionCelsius),
        _ => output.At(shownCelsius, junctionCelsius),
    };

    // Of several faults of the sensor at once the first given shows.
    private SimulatedFault? Fault(double seconds)
    {
        foreach (var fault in faults)
        {
            if (fault.Kind != SimulatedFaultKind.JunctionSilent && fault.IsAt(seconds))
            {
                return fault;
            }
        }

        return null;
    }

    private double WildCelsius(double seconds)
    {
        if (seconds < nextWildSeconds)
        {
            return 0;
        }

        nextWildSeconds = seconds + (WildEverySeconds * faultRandom.Between(0.5, 1.5));
        return faultRandom.Between(LeastWildCelsius, MostWildCelsius) * (faultRandom.NextUnit() < 0.5 ? -1 : 1);
    }
}

/// <summary>What a thermometer sends for one moment.</summary>
/// <param name="Signal">In the unit of the chain; null where nothing is sent.</param>
/// <param name="JunctionCelsius">Temperature of the reference junction, °C; null where none is sent.</param>
internal readonly record struct ThermometerReading(double? Signal, double? JunctionCelsius);
