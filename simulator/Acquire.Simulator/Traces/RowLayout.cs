using Acquire.Core.Readings;
using Acquire.Core.Thermometry;

namespace Acquire.Simulator;

/// <summary>What a tester calls its thermometer's column or field, and whether another follows for the reference junction.</summary>
internal sealed class RowLayout
{
    /// <summary>Name of the junction's column or field.</summary>
    public const string Junction = "junction_c";

    private readonly bool isPlain;

    public RowLayout(ThermometerChain chain)
    {
        isPlain = chain.IsPlain;
        HasJunction = chain.Sensor is ThermocoupleSensor { ReferenceJunction: ReferenceJunctionKind.Measured };
        Thermometer = isPlain ? "temperature_c" : "thermometer_" + Suffix(chain.Unit);
    }

    /// <summary>Name of the thermometer's column or field.</summary>
    public string Thermometer { get; }

    /// <summary>How the thermometer's value is written as text. A few microvolts in V would come out with an exponent otherwise.</summary>
    public string? Format => isPlain ? null : "0.######";

    /// <summary>Part of the thermometer's topic where each channel has one.</summary>
    public string Topic => isPlain ? "temperature" : "thermometer";

    /// <summary>Whether the tester sends the temperature of a reference junction.</summary>
    public bool HasJunction { get; }

    /// <summary>What the row has of the thermometer, as sent; null where that is nothing.</summary>
    public double? ThermometerOf(in ReadingRow row) => isPlain
        ? row.Has(RowChannels.Temperature) ? row.TemperatureCelsius : null
        : row.Has(RowChannels.Signal) ? row.Signal : null;

    /// <summary>What the row has of the reference junction, °C; null where that is nothing.</summary>
    public double? JunctionOf(in ReadingRow row) => HasJunction && row.Has(RowChannels.Junction) ? row.JunctionCelsius : null;

    private static string Suffix(ThermometerUnit unit) => unit switch
    {
        ThermometerUnit.Celsius => "c",
        ThermometerUnit.Kelvin => "k",
        ThermometerUnit.Fahrenheit => "f",
        ThermometerUnit.Microvolt => "uv",
        ThermometerUnit.Millivolt => "mv",
        ThermometerUnit.Volt => "v",
        ThermometerUnit.Ohm => "ohm",
        ThermometerUnit.Kiloohm => "kohm",
        ThermometerUnit.Milliampere => "ma",
        _ => throw new ArgumentOutOfRangeException(nameof(unit), unit, null),
    };
}
