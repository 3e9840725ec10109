using System.Text.Json.Serialization;

namespace Acquire.Core.Thermometry;

/// <summary>Units in which a thermometer's signal may come. The words in files are the member names given here.</summary>
[JsonConverter(typeof(JsonStringEnumConverter<ThermometerUnit>))]
public enum ThermometerUnit
{
    /// <summary>°C.</summary>
    [JsonStringEnumMemberName("degC")]
    Celsius,

    /// <summary>K.</summary>
    [JsonStringEnumMemberName("K")]
    Kelvin,

    /// <summary>°F.</summary>
    [JsonStringEnumMemberName("degF")]
    Fahrenheit,

    /// <summary>µV.</summary>
    [JsonStringEnumMemberName("uV")]
    Microvolt,

    /// <summary>mV.</summary>
    [JsonStringEnumMemberName("mV")]
    Millivolt,

    /// <summary>V.</summary>
    [JsonStringEnumMemberName("V")]
    Volt,

    /// <summary>ohm.</summary>
    [JsonStringEnumMemberName("ohm")]
    Ohm,

    /// <summary>kΩ.</summary>
    [JsonStringEnumMemberName("kohm")]
    Kiloohm,

    /// <summary>mA.</summary>
    [JsonStringEnumMemberName("mA")]
    Milliampere,
}
