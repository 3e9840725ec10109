using System.Text.Json.Serialization;

namespace Acquire.Core.Control;

/// <summary>What the guard remembers. Only <see cref="HeaterGuard"/> changes it.</summary>
/// <remarks>Whether the heater is on is deliberately not written: a state read back is always off, with <see cref="TripCodes.Resumed"/>.</remarks>
public sealed class GuardState : IJsonOnDeserialized
{
    /// <summary>Why the heater is off, in the order in which it happened; a code stands here once. Empty while it may be on.</summary>
    [JsonInclude]
    public IReadOnlyList<HeaterTrip> Trips { get; internal set; } = [];

    /// <summary>Time of the newest input, s.</summary>
    [JsonInclude]
    public double AtSeconds { get; internal set; } = double.NegativeInfinity;

    /// <summary>Who turned the heater on last; null where nobody has.</summary>
    [JsonInclude]
    public string? ArmedBy { get; internal set; }

    /// <summary>Whether the heater may be on.</summary>
    [JsonIgnore]
    public bool Armed { get; internal set; }

    [JsonInclude]
    internal bool RunOpen { get; set; }

    [JsonInclude]
    internal bool Complete { get; set; }

    [JsonInclude]
    internal double SoundAt { get; set; } = double.NegativeInfinity;

    [JsonInclude]
    internal double Celsius { get; set; } = double.NaN;

    [JsonInclude]
    internal int BadInARow { get; set; }

    /// <summary>Fraction let through last; 0 after a resume.</summary>
    [JsonIgnore]
    internal double Given { get; set; }

    [JsonInclude]
    internal double PowerAt { get; set; } = double.NegativeInfinity;

    [JsonInclude]
    internal double OnSeconds { get; set; }

    // The same in seconds of full power.
    [JsonInclude]
    internal double FullPowerSeconds { get; set; }

    [JsonInclude]
    internal double RisenFromCelsius { get; set; } = double.NaN;

    // Highest mean reading since the heater gave power, less what a cup may cool by itself; NaN before the first.
    [JsonInclude]
    internal double FallReferenceCelsius { get; set; } = double.NaN;

    [JsonInclude]
    internal double FallLowestCelsius { get; set; } = double.NaN;

    [JsonInclude]
    internal bool FallHasRisen { get; set; }

    [JsonInclude]
    internal double FallReadAt { get; set; } = double.NaN;

    [JsonInclude]
    internal double FallPower { get; set; }

    [JsonInclude]
    internal double FallWindowAt { get; set; } = double.NaN;

    [JsonInclude]
    internal int FallCount { get; set; }

    [JsonInclude]
    internal int FallLow { get; set; }

    [JsonInclude]
    internal double FallSum { get; set; }

    [JsonInclude]
    internal double FallLeast { get; set; }

    [JsonInclude]
    internal double FallMost { get; set; }

    [JsonInclude]
    internal double OffWindowAt { get; set; } = double.NaN;

    [JsonInclude]
    internal double OffWindowCelsius { get; set; }

    [JsonInclude]
    internal int OffRises { get; set; }

    void IJsonOnDeserialized.OnDeserialized() => HeaterGuard.Resumed(this);
}
