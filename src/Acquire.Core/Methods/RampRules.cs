using System.Text.Json.Serialization;

namespace Acquire.Core.Methods;

/// <summary>How fast the specimen is to be heated, and where.</summary>
public sealed record RampRules
{
    /// <summary>The specimen must start at least this far below the expected flash point, °C.</summary>
    public required double StartAtLeastBelowExpectedCelsius { get; init; }

    /// <summary>Band of the first, fast heating, °C/min; null where one rate holds from start to end.</summary>
    public RateBand? FastHeatingCelsiusPerMinute { get; init; }

    /// <summary>Fast heating ends, and heat is eased, this far below the expected flash point, °C; null where there is no fast heating.</summary>
    public double? EaseBelowExpectedCelsius { get; init; }

    /// <summary>Band of controlled heating, °C/min.</summary>
    public required RateBand ControlledHeatingCelsiusPerMinute { get; init; }

    /// <summary>From here on, counted below the expected flash point in °C, the controlled band must hold; null where it holds as soon as the rate has settled.</summary>
    public double? ControlledFromBelowExpectedCelsius { get; init; }

    /// <summary>Whether one rate holds from start to end.</summary>
    [JsonIgnore]
    public bool IsConstant => FastHeatingCelsiusPerMinute is null;
}
