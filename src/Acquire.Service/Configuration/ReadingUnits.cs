using Acquire.Core.Results;
using Acquire.Core.Thermometry;

namespace Acquire.Service.Configuration;

/// <summary>Units as the thermometer's chain knows them.</summary>
public static class ReadingUnits
{
    /// <summary>The unit of a temperature or of a thermometer's signal; null for none and for units of time.</summary>
    public static ThermometerUnit? ToThermometer(this ReadingUnit unit) => unit switch
    {
        ReadingUnit.Celsius => ThermometerUnit.Celsius,
        ReadingUnit.Kelvin => ThermometerUnit.Kelvin,
        ReadingUnit.Fahrenheit => ThermometerUnit.Fahrenheit,
        ReadingUnit.Microvolt => ThermometerUnit.Microvolt,
        ReadingUnit.Millivolt => ThermometerUnit.Millivolt,
        ReadingUnit.Volt => ThermometerUnit.Volt,
        ReadingUnit.Ohm => ThermometerUnit.Ohm,
        ReadingUnit.Kiloohm => ThermometerUnit.Kiloohm,
        ReadingUnit.Milliampere => ThermometerUnit.Milliampere,
        _ => null,
    };

    /// <summary>The unit of a barometer; null for any other.</summary>
    public static PressureUnit? ToPressure(this ReadingUnit unit) => unit switch
    {
        ReadingUnit.Kilopascal => PressureUnit.Kilopascal,
        ReadingUnit.Hectopascal => PressureUnit.Hectopascal,
        ReadingUnit.Millibar => PressureUnit.Millibar,
        ReadingUnit.MillimetreOfMercury => PressureUnit.MillimetreOfMercury,
        _ => null,
    };
}
