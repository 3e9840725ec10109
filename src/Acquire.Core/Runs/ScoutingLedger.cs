using System.Text.Json.Serialization;

namespace Acquire.Core.Runs;

/// <summary>What a scouting run hangs its schedule on. Part of a run's snapshot.</summary>
internal sealed class ScoutingLedger
{
    // Follows from what is kept; made anew after a snapshot was read.
    [JsonIgnore]
    private RunRules? _rules;

    /// <summary>Lowest mean temperature so far: where the specimen starts, °C. Null before the first mean.</summary>
    [JsonInclude]
    public double? StartCelsius { get; private set; }

    /// <summary>Whether the specimen has been heated, so that its start is known for good.</summary>
    [JsonInclude]
    public bool Begun { get; private set; }

    /// <summary>Temperature of the newest application that did not flash, °C; null before the first.</summary>
    [JsonInclude]
    public double? ReachedCelsius { get; private set; }

    /// <summary>The rules as they follow from the start and from what has been reached.</summary>
    public RunRules Rules(RunPlan plan) => StartCelsius is not { } start ? plan.Rules : _rules ??= RunRules.Scouting(plan.Method, start, Math.Max(start, ReachedCelsius ?? start));

    /// <summary>A mean temperature before the specimen has been heated: a thermometer may still be on its way into it.</summary>
    public void Start(double celsius)
    {
        if (!(celsius >= StartCelsius))
        {
            (StartCelsius, _rules) = (celsius, null);
        }
    }

    /// <summary>From here on the start stands.</summary>
    public void Begin() => Begun = true;

    /// <summary>The thermometer made a step that was taken as real: what it showed before is no start.</summary>
    public void Forget()
    {
        if (!Begun)
        {
            (StartCelsius, _rules) = (null, null);
        }
    }

    /// <summary>An application at this temperature did not flash.</summary>
    public void Reach(double celsius) => (ReachedCelsius, _rules) = (celsius, null);
}
