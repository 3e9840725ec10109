using System.Text.Json.Serialization;

namespace Acquire.Core.Thermometry;

/// <summary>Letter types of thermocouples with ITS-90 reference functions (IEC 60584-1).</summary>
[JsonConverter(typeof(JsonStringEnumConverter<ThermocoupleType>))]
public enum ThermocoupleType
{
    /// <summary>Platinum-30 % rhodium against platinum-6 % rhodium.</summary>
    B,

    /// <summary>Nickel-chromium against copper-nickel.</summary>
    E,

    /// <summary>Iron against copper-nickel.</summary>
    J,

    /// <summary>Nickel-chromium against nickel-aluminium.</summary>
    K,

    /// <summary>Nickel-chromium-silicon against nickel-silicon.</summary>
    N,

    /// <summary>Platinum-13 % rhodium against platinum.</summary>
    R,

    /// <summary>Platinum-10 % rhodium against platinum.</summary>
    S,

    /// <summary>Copper against copper-nickel.</summary>
    T,
}
