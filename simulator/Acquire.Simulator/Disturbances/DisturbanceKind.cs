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

    /// <summary>Foam on the specimen breaks: vapour comes unevenly, and the detector sees slow bumps.</summary>
    [JsonStringEnumMemberName("foam")]
    Foam,

    /// <summary>Drops of water under hot oil turn to steam: sharp bursts in the detector, and the oil is cooled a little each time.</summary>
    [JsonStringEnumMemberName("water-popping")]
    WaterPopping,

    /// <summary>The heating overshoots within the controlled band.</summary>
    [JsonStringEnumMemberName("heater-overshoot")]
    HeaterOvershoot,

    /// <summary>The relay of the heater does not open any more.</summary>
    [JsonStringEnumMemberName("stuck-relay")]
    StuckRelay,

    /// <summary>The test flame is out.</summary>
    [JsonStringEnumMemberName("flame-out")]
    FlameOut,

    /// <summary>The specimen ignites with no test flame over the cup.</summary>
    [JsonStringEnumMemberName("self-ignition")]
    SelfIgnition,

    /// <summary>The thermometer breaks.</summary>
    [JsonStringEnumMemberName("sensor-break")]
    SensorBreak,

    /// <summary>Messages are lost.</summary>
    [JsonStringEnumMemberName("dropped")]
    Dropped,

    /// <summary>Messages come twice.</summary>
    [JsonStringEnumMemberName("duplicated")]
    Duplicated,

    /// <summary>Messages come out of order.</summary>
    [JsonStringEnumMemberName("reordered")]
    Reordered,

    /// <summary>The tester's clock jumps.</summary>
    [JsonStringEnumMemberName("clock-jump")]
    ClockJump,
}
