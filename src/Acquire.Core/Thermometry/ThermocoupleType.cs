using System.Text.Json.Serialization;

namespace Acquire.Core.Thermometry;

/// <summary>Letter types of thermocouples with ITS-90 reference functions (IEC 60584-1).</summary>
[JsonConverter(typeof(JsonStringEnumConverter<ThermocoupleType>))]
public enum ThermocoupleType
{
    /// <summary>Platinum-30 % rhodium against platinum-6 % rhodium.</summary>
    [JsonStringEnumMemberName("B")]
    B,

    /// <summary>Nickel-chromium against copper-nickel.</summary>
    [JsonStringEnumMemberName("E")]
    E,

    /// <summary>Iron against copper-nickel.</summary>
    [JsonStringEnumMemberName("J")]
    J,

    /// <summary>Nickel-chromium against nickel-aluminium.</summary>
    [JsonStringEnumMemberName("K")]
    K,

    /// <summary>Nickel-chromium-silicon against nickel-silicon.</summary>
    [JsonStringEnumMemberName("N")]
    N,

    /// <summary>Platinum-13 % rhodium against platinum.</summary>
    [JsonStringEnumMemberName("R")]
    R,

    /// <summary>Platinum-10 % rhodium against platinum.</summary>
    [JsonStringEnumMemberName("S")]
    S,

    /// <summary>Copper against copper-nickel.</summary>
    [JsonStringEnumMemberName("T")]
    T,
}
