using Acquire.Core.Readings;

namespace Acquire.Core.Thermometry;

/// <summary>Turns one signal into the temperature that its sensor has, or says which fault the signal shows. Keeps nothing between two signals.</summary>
internal sealed class SignalConverter
{
    // An emf below the one is that of wires that touch, one above the other that of a warm specimen. mV.
    private const double NothingMillivolts = 0.02;
    private const double ClearMillivolts = 0.2;

    // Nothing gets colder than its surroundings by itself: without a stated limit, a thermocouple this far below its own reference junction is reversed. °C.
    private const double ReversedBelowJunction = 15;

    // A thermistor has a resistance for nearly every temperature. So far beyond the tester's limits the wire speaks, °C; without
    // limits beyond the range over which its curve is vouched for.
    private const double ThermistorOpenBelowColdest = 50;
    private const double ThermistorShortAboveHottest = 100;

    private readonly ThermometerChain _chain;
    private readonly ThermometerLimits _limits;
    private readonly Thermocouple? _thermocouple;

    public SignalConverter(ThermometerChain chain)
    {
        (_chain, _limits) = (chain, chain.Limits);
        _thermocouple = chain.Sensor is ThermocoupleSensor sensor ? Thermocouple.Of(sensor.Type) : null;
    }

    private double Coldest => _limits.ColdestCelsius ?? ThermometerLimits.ColdestAnywhereCelsius;

    private double Hottest => _limits.HottestCelsius ?? ThermometerLimits.HottestAnywhereCelsius;

    /// <summary>Converts a signal.</summary>
    /// <param name="signal">In the unit of the chain; finite.</param>
    /// <param name="junctionCelsius">Measured reference junction, °C; null where it is unknown or not needed.</param>
    /// <param name="celsius">Temperature of the sensor, °C; not a number where the signal has none.</param>
    /// <returns>The faults that the signal shows.</returns>
    public ReadingMarks Convert(double signal, double? junctionCelsius, out double celsius)
    {
        celsius = double.NaN;
        if (signal <= _limits.ConverterLow || signal >= _limits.ConverterHigh)
        {
            return ReadingMarks.ConverterSaturated;
        }

        var amount = ThermometerUnits.ToBase(signal, _chain.Unit);
        var marks = _chain.Sensor switch
        {
            ThermocoupleSensor sensor => FromThermocouple(sensor, amount, junctionCelsius, out celsius),
            PlatinumSensor sensor => FromPlatinum(sensor, amount, out celsius),
            ThermistorSensor sensor => FromThermistor(sensor, amount, out celsius),
            TransmitterSensor sensor => FromTransmitter(sensor, amount, out celsius),
            _ => FromTemperature(amount, out celsius),
        };
        return marks == ReadingMarks.None && (celsius < _limits.ColdestCelsius || celsius > _limits.HottestCelsius) ? ReadingMarks.OutOfRange : marks;
    }

    /// <summary>Whether a jump from one signal to another is that of a thermocouple whose wires came to touch: from an emf to none at all.</summary>
    public bool LooksShorted(double before, double signal) => IsNothing(signal) && Math.Abs(ThermometerUnits.ToBase(before, _chain.Unit)) > ClearMillivolts;

    /// <summary>Whether a thermocouple gives no emf.</summary>
    public bool IsNothing(double signal) =>
        _chain.Sensor is ThermocoupleSensor { ReferenceJunction: not ReferenceJunctionKind.Compensated }
        && Math.Abs(ThermometerUnits.ToBase(signal, _chain.Unit)) < NothingMillivolts;

    private static ReadingMarks FromTemperature(double amount, out double celsius)
    {
        celsius = amount is >= ReadingRow.LowestCelsius and <= ReadingRow.HighestCelsius ? amount : double.NaN;
        return double.IsNaN(celsius) ? ReadingMarks.OutOfRange : ReadingMarks.None;
    }

    private ReadingMarks FromThermocouple(ThermocoupleSensor sensor, double millivolts, double? measured, out double celsius)
    {
        celsius = double.NaN;
        var junction = sensor.ReferenceJunction switch
        {
            ReferenceJunctionKind.Measured => measured,
            ReferenceJunctionKind.Fixed => sensor.JunctionCelsius,
            _ => 0,
        };
        if (junction is not { } cold || (sensor.ReferenceJunction == ReferenceJunctionKind.Measured && !(cold >= _limits.JunctionColdestCelsius && cold <= _limits.JunctionHottestCelsius)))
        {
            return ReadingMarks.JunctionMissing;
        }

        var coldest = _limits.ColdestCelsius ?? (sensor.ReferenceJunction == ReferenceJunctionKind.Compensated ? Coldest : cold - ReversedBelowJunction);
        if (_thermocouple!.TryCelsius(millivolts, cold, out celsius) && celsius >= coldest)
        {
            return ReadingMarks.None;
        }

        // Too cold to be true, and right when taken the other way round: the wires are exchanged.
        if (millivolts < 0 && _thermocouple.TryCelsius(-millivolts, cold, out var mirrored) && mirrored <= Hottest)
        {
            return ReadingMarks.ReversedPolarity;
        }

        // More emf than the pair of wires can give comes from the converter, which drives an open input to an end of its range.
        return !double.IsNaN(celsius) || InsideEmf(millivolts + _thermocouple.EmfMillivolts(cold)) ? ReadingMarks.OutOfRange : ReadingMarks.OpenCircuit;
    }

    private bool InsideEmf(double millivolts) => millivolts >= Math.Min(-0.05, _thermocouple!.LowestEmfMillivolts) && millivolts <= _thermocouple.HighestEmfMillivolts;

    private static ReadingMarks FromPlatinum(PlatinumSensor sensor, double ohms, out double celsius)
    {
        var bare = PlatinumThermometer.WithoutLeads(ohms, sensor);
        return PlatinumThermometer.TryCelsius(bare, sensor.R0Ohms, out celsius) ? ReadingMarks.None
            : bare < sensor.R0Ohms ? ReadingMarks.ShortCircuit
            : ReadingMarks.OpenCircuit;
    }

    private ReadingMarks FromThermistor(ThermistorSensor sensor, double ohms, out double celsius)
    {
        celsius = ohms > 0 ? Thermistor.Celsius(ohms, sensor) : double.NaN;
        var hottest = _limits.HottestCelsius + ThermistorShortAboveHottest ?? ThermometerRules.HottestCurveCelsius;
        var coldest = _limits.ColdestCelsius - ThermistorOpenBelowColdest ?? ThermometerRules.ColdestCurveCelsius;
        return double.IsNaN(celsius) || celsius > hottest ? ReadingMarks.ShortCircuit
            : celsius < coldest ? ReadingMarks.OpenCircuit
            : ReadingMarks.None;
    }

    private static ReadingMarks FromTransmitter(TransmitterSensor sensor, double amount, out double celsius)
    {
        // The base unit of a voltage is the mV of the thermocouples; transmitters give V.
        var answer = Transmitter.Read(sensor.Signal == TransmitterSignal.ZeroToTenVolt ? amount / 1000 : amount, sensor);
        celsius = answer.Celsius;
        return answer.State switch
        {
            TransmitterState.Measuring => ReadingMarks.None,
            TransmitterState.LoopBroken => ReadingMarks.OpenCircuit,
            TransmitterState.Reversed => ReadingMarks.ReversedPolarity,
            TransmitterState.OutOfRange => ReadingMarks.OutOfRange,
            _ => ReadingMarks.TransmitterFailure,
        };
    }
}
