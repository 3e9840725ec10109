using System.Text.Json.Serialization;

namespace Acquire.Simulator;

/// <summary>What an ignition detector of a simulated tester is.</summary>
[JsonConverter(typeof(JsonStringEnumConverter<DetectorKind>))]
public enum DetectorKind
{
    /// <summary>One detector of no stated kind, beside the cup: sees pass, whole halo and flash at once.</summary>
    [JsonStringEnumMemberName("plain")]
    Plain,

    /// <summary>A thin thermocouple over the cup: sees the warmth of everything, a little late.</summary>
    [JsonStringEnumMemberName("thermal")]
    Thermal,

    /// <summary>An ionisation electrode at the far side of the cup: fast, and nearly blind to a halo round the test flame.</summary>
    [JsonStringEnumMemberName("ionisation")]
    Ionisation,
}
