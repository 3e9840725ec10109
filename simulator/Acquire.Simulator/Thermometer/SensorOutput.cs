using Acquire.Core.Readings;
using Acquire.Core.Thermometry;

namespace Acquire.Simulator;

/// <summary>What a sensor puts on its terminals, in base units: °C, mV, ohm or mA. Whole or broken.</summary>
internal sealed class SensorOutput
{
    // A transmitter works on a little beyond its span and then stands there (NAMUR NE 43 as trade texts quote it; for volts common practice, no source).
    private const double LeastMilliampere = 3.8, MostMilliampere = 20.5, MostVolts = 10.25;

    private readonly ThermometerSensor sensor;
    private readonly ThermometerLimits limits;

    public SensorOutput(ThermometerChain chain)
    {
        sensor = chain.Sensor;
        limits = chain.Limits;
        (ColdestCelsius, HottestCelsius) = Reach(sensor);
        FullScale = limits.ConverterHigh is { } high ? ThermometerUnits.ToBase(high, chain.Unit) : UsualFullScale(sensor);
        LowEnd = limits.ConverterLow is { } low ? ThermometerUnits.ToBase(low, chain.Unit) : double.NegativeInfinity;
    }

    /// <summary>Coldest temperature for which the sensor has a signal, °C.</summary>
    public double ColdestCelsius { get; }

    /// <summary>Hottest temperature for which the sensor has a signal, °C.</summary>
    public double HottestCelsius { get; }

    /// <summary>High end of the converter.</summary>
    public double FullScale { get; }

    /// <summary>Low end of the converter.</summary>
    public double LowEnd { get; }

    /// <summary>What it is with its wires touching.</summary>
    public double Shorted => sensor switch
    {
        PlatinumSensor platinum => Leads(platinum),
        TransmitterSensor { Signal: TransmitterSignal.FourToTwentyMilliampere } => Overdriven,
        _ => 0,
    };

    /// <summary>What it is with a wire broken.</summary>
    public double Open => sensor is TransmitterSensor ? 0 : Overdriven;

    /// <summary>So far beyond the high end that the converter stands there whatever its noise.</summary>
    public double Overdriven => FullScale + Math.Abs(FullScale) + 1;

    /// <summary>What a sound sensor gives, from what the thermometer shows and the temperature of the reference junction, °C.</summary>
    public double At(double shownCelsius, double junctionCelsius)
    {
        var celsius = Math.Clamp(shownCelsius, ColdestCelsius, HottestCelsius);
        return sensor switch
        {
            ThermocoupleSensor couple => Emf(couple, celsius) - Emf(couple, couple.ReferenceJunction == ReferenceJunctionKind.Fixed ? couple.JunctionCelsius ?? 0 : junctionCelsius),
            PlatinumSensor platinum => PlatinumThermometer.Ohms(celsius, platinum.R0Ohms) + Leads(platinum),
            ThermistorSensor thermistor => Thermistor.Ohms(celsius, thermistor),
            TransmitterSensor { Signal: TransmitterSignal.FourToTwentyMilliampere } current => Math.Clamp(Transmitter.Signal(celsius, current), LeastMilliampere, MostMilliampere),
            TransmitterSensor voltage => 1000 * Math.Clamp(Transmitter.Signal(celsius, voltage), 0, MostVolts),
            _ => celsius,
        };
    }

    private double Hottest => limits.HottestCelsius ?? ThermometerLimits.HottestAnywhereCelsius;

    /// <summary>What it gives for a temperature that this tester cannot have, beyond the sensor's own reach where the tester's is wider.</summary>
    public double BeyondAnyTemperature(double junctionCelsius) => sensor switch
    {
        // Between the end of the span and the levels that signal a failure.
        TransmitterSensor { Signal: TransmitterSignal.FourToTwentyMilliampere } => 20.8,
        TransmitterSensor => 10_400,
        ThermocoupleSensor or PlatinumSensor when Hottest + 50 > HottestCelsius => 1.05 * At(HottestCelsius, junctionCelsius),
        _ => At(Hottest + 50, junctionCelsius),
    };

    /// <summary>What the tester makes of its terminals before it sends: some add the emf of the reference junction.</summary>
    public double Compensated(double terminals, double sensedJunctionCelsius) =>
        sensor is ThermocoupleSensor { ReferenceJunction: ReferenceJunctionKind.Compensated } couple ? terminals + Emf(couple, sensedJunctionCelsius) : terminals;

    private double Emf(ThermocoupleSensor couple, double celsius) => Thermocouple.Of(couple.Type).EmfMillivolts(Math.Clamp(celsius, ColdestCelsius, HottestCelsius));

    private static double Leads(PlatinumSensor platinum) => platinum.Wires is 2 or 3 ? platinum.LeadOhms ?? 0 : 0;

    private static (double ColdestCelsius, double HottestCelsius) Reach(ThermometerSensor sensor) => sensor switch
    {
        ThermocoupleSensor couple => (Thermocouple.Of(couple.Type).LowestCelsius, Thermocouple.Of(couple.Type).HighestCelsius),
        PlatinumSensor => (PlatinumThermometer.ColdestCelsius, PlatinumThermometer.HottestCelsius),
        ThermistorSensor => (-100, 500),
        _ => (ReadingRow.LowestCelsius, ReadingRow.HighestCelsius),
    };

    // Inputs of data loggers: common practice, no source. A display of temperatures ends at 999.9.
    private static double UsualFullScale(ThermometerSensor sensor) => sensor switch
    {
        ThermocoupleSensor => 80,
        PlatinumSensor platinum => 4 * platinum.R0Ohms,
        ThermistorSensor thermistor => 100 * Thermistor.Ohms(25, thermistor),
        TransmitterSensor { Signal: TransmitterSignal.FourToTwentyMilliampere } => 24,
        TransmitterSensor => 12_000,
        _ => 999.9,
    };
}
