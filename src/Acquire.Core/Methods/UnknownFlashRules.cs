namespace Acquire.Core.Methods;

/// <summary>What to do where nobody knows what to expect: a scouting run, whose result is what the next portion is expected to show.</summary>
public sealed record UnknownFlashRules
{
    /// <summary>Specimen and tester start in this range, °C; null where only the warmest start is stated.</summary>
    public TemperatureRange? StartCelsius { get; init; }

    /// <summary>Specimen and tester start at or below this, °C; null where a range is stated.</summary>
    public double? StartAtMostCelsius { get; init; }

    /// <summary>The first application comes at least this far above the start, °C.</summary>
    public required double FirstAtLeastAboveStartCelsius { get; init; }

    /// <summary>Temperature rise between the applications of the scouting run, °C; null: as in any run.</summary>
    public double? IntervalCelsius { get; init; }

    /// <summary>Heating rate of the scouting run, °C/min; null: that of controlled heating.</summary>
    public RateBand? HeatingCelsiusPerMinute { get; init; }

    /// <summary>The rate of the scouting run is judged once the specimen has risen by this, °C; null: by <see cref="JudgementRules.SettleCelsius"/>.</summary>
    public double? SettleCelsius { get; init; }
}
