using System.Text.Json.Serialization;
using Acquire.Core.Detection;

namespace Acquire.Core.Control;

/// <summary>What the scheduler remembers. Only <see cref="FlameScheduler"/> changes it.</summary>
public sealed class FlameState
{
    /// <summary>Temperature at which the next application is due, °C; null before the first reading.</summary>
    [JsonInclude]
    public double? DueCelsius { get; internal set; }

    /// <summary>Applications commanded so far.</summary>
    [JsonInclude]
    public int Made { get; internal set; }

    /// <summary>Whether the flame is over the cup by command.</summary>
    [JsonInclude]
    public bool Over { get; internal set; }

    /// <summary>Whether the schedule is over for good.</summary>
    [JsonInclude]
    public bool Stopped { get; internal set; }

    [JsonInclude]
    internal bool Burning { get; set; }

    [JsonInclude]
    internal double AwayAt { get; set; }

    [JsonInclude]
    internal double OverDueCelsius { get; set; }

    [JsonInclude]
    internal double ReadAt { get; set; } = double.NegativeInfinity;

    [JsonInclude]
    internal double AtSeconds { get; set; } = double.NegativeInfinity;

    [JsonInclude]
    internal RampEstimator Ramp { get; set; } = new();
}
