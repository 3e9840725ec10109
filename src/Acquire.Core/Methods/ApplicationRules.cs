namespace Acquire.Core.Methods;

/// <summary>When and how long the test flame is applied.</summary>
public sealed record ApplicationRules
{
    /// <summary>Where the first application is scheduled, °C below the expected flash point.</summary>
    public required double FirstBelowExpectedCelsius { get; init; }

    /// <summary>The first application must be made no later than this, °C below the expected flash point.</summary>
    public required double FirstAtLatestBelowExpectedCelsius { get; init; }

    /// <summary>A pass earlier than this, °C below the expected flash point, is a check for vapour and does not open the series; null: twice <see cref="FirstBelowExpectedCelsius"/>.</summary>
    public double? FirstAtEarliestBelowExpectedCelsius { get; init; }

    /// <summary>Temperature rise between applications, °C.</summary>
    public required double IntervalCelsius { get; init; }

    /// <summary>Nominal time of one pass of the test flame over the cup, or of one opening of the lid, s.</summary>
    public required double PassSeconds { get; init; }

    /// <summary>A pass shorter than this is a finding, s; null where only a long one is.</summary>
    public double? ShortestPassSeconds { get; init; }

    /// <summary>A pass longer than this is a finding, s.</summary>
    public required double LongestPassSeconds { get; init; }

    /// <summary>The flash counts only this far above the first application, °C; outside it is approximate. Null: anywhere above.</summary>
    public ValueRange? FlashWindowAboveFirstCelsius { get; init; }
}

/// <summary>What counts as a fire point.</summary>
public sealed record FirePointRules
{
    /// <summary>Whether the run goes on from the flash to a fire point.</summary>
    public required bool Determined { get; init; }

    /// <summary>The specimen must burn at least this long, s.</summary>
    public required double SustainedSeconds { get; init; }

    /// <summary>Fire points above this lie outside the method, °C; null where it sets no limit of its own.</summary>
    public double? HighestCelsius { get; init; }
}
