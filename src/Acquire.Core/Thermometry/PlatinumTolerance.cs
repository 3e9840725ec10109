using System.Text.Json.Serialization;

namespace Acquire.Core.Thermometry;

/// <summary>Tolerance classes of platinum thermometers (IEC 60751).</summary>
[JsonConverter(typeof(JsonStringEnumConverter<PlatinumTolerance>))]
public enum PlatinumTolerance
{
    /// <summary>0.1 + 0.0017 |t| °C.</summary>
    [JsonStringEnumMemberName("AA")]
    AA,

    /// <summary>0.15 + 0.002 |t| °C.</summary>
    [JsonStringEnumMemberName("A")]
    A,

    /// <summary>0.3 + 0.005 |t| °C.</summary>
    [JsonStringEnumMemberName("B")]
    B,

    /// <summary>0.6 + 0.01 |t| °C.</summary>
    [JsonStringEnumMemberName("C")]
    C,
}
