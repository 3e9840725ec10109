using Acquire.Core.Readings;
using Acquire.Core.Thermometry;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator;

/// <summary>Thermometers of every kind, and the way back from their signals by the core's own functions.</summary>
internal static class Signals
{
    public static readonly DateOnly Day = new(2026, 7, 2);

    /// <summary>A chain of a name; names are those of the theories.</summary>
    public static ThermometerChain Chain(string name) => name switch
    {
        "K in uV, measured" => ThermometerPresets.MicrovoltsOfTypeK(Day),
        "J in mV, fixed" => Of(ThermometerUnit.Millivolt, new ThermocoupleSensor(ThermocoupleType.J, ReferenceJunctionKind.Fixed, 0)),
        "S in V, compensated" => Of(ThermometerUnit.Volt, new ThermocoupleSensor(ThermocoupleType.S, ReferenceJunctionKind.Compensated, null)),
        "platinum in ohm, three wires" => ThermometerPresets.OhmsOfPlatinum(Day),
        "platinum in kohm, two wires" => Of(ThermometerUnit.Kiloohm, new PlatinumSensor(1000, 2, 1.4, null)),
        // Coefficients of a common NTC of 10 kΩ at 25 °C; value from memory.
        "thermistor in ohm" => Of(ThermometerUnit.Ohm, new ThermistorSensor(1.129241e-3, 2.341077e-4, 8.775468e-8)),
        "4-20 mA" => ThermometerPresets.Milliamperes(Day),
        "0-10 V" => Of(ThermometerUnit.Volt, new TransmitterSensor(TransmitterSignal.ZeroToTenVolt, -50, 350)),
        "K" => Of(ThermometerUnit.Kelvin, new DirectSensor()),
        "degF" => Of(ThermometerUnit.Fahrenheit, new DirectSensor()),
        "degC with certificate" => Of(ThermometerUnit.Celsius, new DirectSensor()) with { Calibration = ThermometerPresets.MicrovoltsOfTypeK(Day).Calibration },
        "mercury in glass" => Of(ThermometerUnit.Celsius, new LiquidInGlassSensor(ThermometricLiquid.Mercury, 60, 45, null)) with { Calibration = ThermometerPresets.Milliamperes(Day).Calibration },
        _ => throw new ArgumentException(name, nameof(name)),
    };

    public static SimulatorOptions With(this SimulatorOptions options, ThermometerChain chain, params SimulatedFault[] faults) =>
        options with { Thermometer = new() { Chain = chain, Faults = faults } };

    /// <summary>What the sensor shows by a row's signal, °C, before stem and certificate; not a number where the core has no temperature for it.</summary>
    public static double Shown(ThermometerChain chain, in ReadingRow row)
    {
        Assert.True(row.Has(RowChannels.Signal));
        var value = ThermometerUnits.ToBase(row.Signal, chain.Unit);
        var celsius = double.NaN;
        switch (chain.Sensor)
        {
            case ThermocoupleSensor { ReferenceJunction: ReferenceJunctionKind.Measured } couple:
                Assert.True(row.Has(RowChannels.Junction));
                _ = Thermocouple.Of(couple.Type).TryCelsius(value, row.JunctionCelsius, out celsius);
                return celsius;
            case ThermocoupleSensor { ReferenceJunction: ReferenceJunctionKind.Fixed } couple:
                _ = Thermocouple.Of(couple.Type).TryCelsius(value, couple.JunctionCelsius!.Value, out celsius);
                return celsius;
            case ThermocoupleSensor couple:
                _ = Thermocouple.Of(couple.Type).TryCelsius(value, out celsius);
                return celsius;
            case PlatinumSensor platinum:
                _ = PlatinumThermometer.TryCelsius(PlatinumThermometer.WithoutLeads(value, platinum), platinum.R0Ohms, out celsius);
                return celsius;
            case ThermistorSensor thermistor:
                return Thermistor.Celsius(value, thermistor);
            case TransmitterSensor { Signal: TransmitterSignal.ZeroToTenVolt } transmitter:
                return Transmitter.Read(value / 1000, transmitter).Celsius;
            case TransmitterSensor transmitter:
                return Transmitter.Read(value, transmitter).Celsius;
            default:
                return value;
        }
    }

    /// <summary>The temperature by a row's signal, °C, stem and certificate included.</summary>
    public static double Corrected(ThermometerChain chain, in ReadingRow row)
    {
        var celsius = Shown(chain, row);
        celsius += chain.Calibration is { } certificate ? new CalibrationCurve(certificate).At(celsius).CorrectionCelsius : 0;
        return celsius + (chain.Sensor is LiquidInGlassSensor stem ? EmergentStem.CorrectionCelsius(celsius, stem) : 0);
    }

    private static ThermometerChain Of(ThermometerUnit unit, ThermometerSensor sensor) => new() { Unit = unit, Sensor = sensor };
}
