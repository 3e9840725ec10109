namespace Acquire.Core.Methods;

/// <summary>A published procedure for flash and fire point, as data. Temperatures in °C, rates in °C/min, times in s.</summary>
/// <remarks>Immutable. Instances come from <see cref="MethodFile"/>, which checks every range given here.</remarks>
public sealed record MethodDefinition
{
    /// <summary>Stable id: the standard, the edition and the procedure in lower case, words joined by hyphens.</summary>
    public required string Id { get; init; }

    /// <summary>One line for a list.</summary>
    public required string Title { get; init; }

    /// <summary>The standard and edition whose text rules; this file only carries figures from it.</summary>
    public required string Standard { get; init; }

    /// <summary>Cup, fill and test flame, for the person at the bench.</summary>
    public required ApparatusRules Apparatus { get; init; }

    /// <summary>Flash points for which the method is written, °C.</summary>
    public required TemperatureRange FlashScopeCelsius { get; init; }

    /// <summary>How fast the specimen is to be heated, and where.</summary>
    public required RampRules Ramp { get; init; }

    /// <summary>When and how long the test flame is applied.</summary>
    public required ApplicationRules Applications { get; init; }

    /// <summary>What counts as a fire point, and where a run may end.</summary>
    public required FirePointRules FirePoint { get; init; }

    /// <summary>Correction to standard pressure.</summary>
    public required BarometricRule Barometric { get; init; }

    /// <summary>How the corrected figure is rounded for the report.</summary>
    public required RoundingRule Rounding { get; init; }

    /// <summary>Repeatability and reproducibility of the flash point, °C.</summary>
    public required Precision FlashPrecision { get; init; }

    /// <summary>Repeatability and reproducibility of the fire point, °C.</summary>
    public required Precision FirePrecision { get; init; }

    /// <summary>Limits that no standard states and that we had to choose to judge a record automatically.</summary>
    public required JudgementRules Judgement { get; init; }

    /// <summary>What a person must know before heating a cup.</summary>
    public required IReadOnlyList<string> Cautions { get; init; }

    /// <summary>Where each figure comes from; an entry marked <see cref="SourceNote.FromMemory"/> awaits a licensed copy.</summary>
    public required IReadOnlyList<SourceNote> Sources { get; init; }
}

/// <summary>Cup, fill and test flame.</summary>
/// <param name="Cup">The test cup, in words.</param>
/// <param name="Fill">Quantity and level of the test portion, in words.</param>
/// <param name="TestFlame">Size and movement of the test flame, in words.</param>
public sealed record ApparatusRules(string Cup, string Fill, string TestFlame);

/// <summary>A closed range of temperatures, °C.</summary>
/// <param name="From">Lower end, °C.</param>
/// <param name="To">Upper end, °C; above <paramref name="From"/>.</param>
public sealed record TemperatureRange(double From, double To)
{
    /// <summary>Whether the temperature lies in the range, ends included.</summary>
    public bool Contains(double celsius) => celsius >= From && celsius <= To;
}

/// <summary>A closed range of ramp rates, °C/min.</summary>
/// <param name="From">Lowest allowed rate, °C/min, above 0.</param>
/// <param name="To">Highest allowed rate, °C/min; above <paramref name="From"/>.</param>
public sealed record RateBand(double From, double To);

/// <summary>How fast the specimen is to be heated, and where.</summary>
public sealed record RampRules
{
    /// <summary>The specimen must start at least this far below the expected flash point, °C.</summary>
    public required double StartAtLeastBelowExpectedCelsius { get; init; }

    /// <summary>Band of the first, fast heating, °C/min.</summary>
    public required RateBand FastHeatingCelsiusPerMinute { get; init; }

    /// <summary>Fast heating ends, and heat is eased, this far below the expected flash point, °C.</summary>
    public required double EaseBelowExpectedCelsius { get; init; }

    /// <summary>Band of controlled heating, °C/min.</summary>
    public required RateBand ControlledHeatingCelsiusPerMinute { get; init; }

    /// <summary>From here on, counted below the expected flash point in °C, the controlled band must hold.</summary>
    public required double ControlledFromBelowExpectedCelsius { get; init; }
}

/// <summary>When and how long the test flame is applied.</summary>
public sealed record ApplicationRules
{
    /// <summary>Where the first application is scheduled, °C below the expected flash point.</summary>
    public required double FirstBelowExpectedCelsius { get; init; }

    /// <summary>The first application must be made no later than this, °C below the expected flash point.</summary>
    public required double FirstAtLatestBelowExpectedCelsius { get; init; }

    /// <summary>Temperature rise between applications, °C.</summary>
    public required double IntervalCelsius { get; init; }

    /// <summary>Nominal time of one pass of the test flame over the cup, s.</summary>
    public required double PassSeconds { get; init; }

    /// <summary>A pass longer than this is a finding, s.</summary>
    public required double LongestPassSeconds { get; init; }
}

/// <summary>What counts as a fire point.</summary>
public sealed record FirePointRules
{
    /// <summary>Whether the run goes on from the flash to a fire point.</summary>
    public required bool Determined { get; init; }

    /// <summary>The specimen must burn at least this long, s.</summary>
    public required double SustainedSeconds { get; init; }
}

/// <summary>Linear correction to standard pressure: corrected = observed + coefficient × (standard − station).</summary>
public sealed record BarometricRule
{
    /// <summary>°C per kPa.</summary>
    public required double CoefficientCelsiusPerKilopascal { get; init; }

    /// <summary>Pressure that results are stated at, kPa.</summary>
    public required double StandardKilopascals { get; init; }

    /// <summary>Station pressures for which the standard states the correction to be strictly correct, kPa.</summary>
    public required ValueRange StrictKilopascals { get; init; }
}

/// <summary>A closed range of a quantity whose unit is in the name of the property that holds it.</summary>
/// <param name="From">Lower end.</param>
/// <param name="To">Upper end, above <paramref name="From"/>.</param>
public sealed record ValueRange(double From, double To)
{
    /// <summary>Whether the value lies in the range, ends included.</summary>
    public bool Contains(double value) => value >= From && value <= To;
}

/// <summary>How a tie between two multiples of the step is settled.</summary>
public enum TieRule
{
    /// <summary>To the even multiple (ISO 80000-1, annex B, rule A).</summary>
    HalfToEven,

    /// <summary>Away from zero.</summary>
    HalfAwayFromZero,
}

/// <summary>How the corrected figure is rounded for the report.</summary>
/// <param name="StepCelsius">Reported values are multiples of this, °C, above 0.</param>
/// <param name="Ties">How a tie is settled.</param>
public sealed record RoundingRule(double StepCelsius, TieRule Ties);

/// <summary>Precision of a method at the 95 % level.</summary>
/// <param name="RepeatabilityCelsius">Limit for two results by one operator with one tester, °C.</param>
/// <param name="ReproducibilityCelsius">Limit for two single results from two laboratories, °C.</param>
public sealed record Precision(double RepeatabilityCelsius, double ReproducibilityCelsius);

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
}

/// <summary>Where a figure comes from.</summary>
/// <param name="Figure">Which figure of the method.</param>
/// <param name="Citation">Standard and clause, or the words `common practice, no source`.</param>
/// <param name="FromMemory">True where the figure was recalled and not yet compared with a licensed copy.</param>
public sealed record SourceNote(string Figure, string Citation, bool FromMemory = false);
