using System.Text.Json.Serialization;

namespace Acquire.Simulator;

/// <summary>What can disturb a simulated run on purpose. <see cref="DisturbanceFacts.All"/> tells of each what its strength means.</summary>
[JsonConverter(typeof(JsonStringEnumConverter<DisturbanceKind>))]
public enum DisturbanceKind
{
    /// <summary>Gusts make the test flame flicker at 1 to 4 Hz; the air moves.</summary>
    [JsonStringEnumMemberName("draught")]
    Draught,

    /// <summary>Mains hum in the detector's wires.</summary>
    [JsonStringEnumMemberName("hum")]
    Hum,

    /// <summary>Single wild readings, upwards or downwards.</summary>
    [JsonStringEnumMemberName("spikes")]
    Spikes,

    /// <summary>The detector's resting value wanders.</summary>
    [JsonStringEnumMemberName("drift")]
    Drift,

    /// <summary>The detector's converter ends too low.</summary>
    [JsonStringEnumMemberName("saturation")]
    Saturation,

    /// <summary>Flashes are faint.</summary>
    [JsonStringEnumMemberName("weak-flash")]
    WeakFlash,

    /// <summary>Flashes come after the test flame has left.</summary>
    [JsonStringEnumMemberName("late-flash")]
    LateFlash,

    /// <summary>Each flash is followed by another.</summary>
    [JsonStringEnumMemberName("double-flash")]
    DoubleFlash,

    /// <summary>The halo is as brief as a flash.</summary>
    [JsonStringEnumMemberName("fast-halo")]
    FastHalo,
}
