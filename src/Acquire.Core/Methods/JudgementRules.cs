namespace Acquire.Core.Methods;

/// <summary>Limits that no standard states. They are ours, they are data, and a laboratory may change them.</summary>
public sealed record JudgementRules
{
    /// <summary>A rate outside its band by no more than this is measurement noise, °C/min.</summary>
    public required double RateToleranceCelsiusPerMinute { get; init; }

    /// <summary>A rate outside the tolerance for no longer than this in all makes a run doubtful; longer, invalid. s.</summary>
    public required double RateExcursionSeconds { get; init; }

    /// <summary>Beyond this far outside the band, any excursion makes the run invalid, °C/min.</summary>
    public required double GrossRateExcessCelsiusPerMinute { get; init; }

    /// <summary>An application later or earlier than its interval by no more than this is in time, °C.</summary>
    public required double IntervalToleranceCelsius { get; init; }

    /// <summary>Seconds without a temperature reading that count as a gap in the record, s.</summary>
    public required double GapSeconds { get; init; }

    /// <summary>With fast heating: a temperature that hardly rises for longer than this before the controlled band holds is a finding, s. Null: not judged.</summary>
    public double? PauseSeconds { get; init; }

    /// <summary>Where one rate holds from start to end, the band is judged once the specimen has risen by this, °C, and at the first application at the latest. Null: with fast heating.</summary>
    public double? SettleCelsius { get; init; }
}
