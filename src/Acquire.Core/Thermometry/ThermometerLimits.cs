namespace Acquire.Core.Thermometry;

/// <summary>What this tester's thermometer can show at all; what goes beyond is a fault.</summary>
public sealed record ThermometerLimits
{
    /// <summary>Taken as the coldest temperature where a fault must be told from cold and nothing was stated, °C: no flash point is determined below it.</summary>
    public const double ColdestAnywhereCelsius = -60;

    /// <summary>Taken as the hottest temperature where a fault must be told from heat and nothing was stated, °C.</summary>
    public const double HottestAnywhereCelsius = 600;

    /// <summary>Coldest temperature this tester meets, °C; a colder reading is out of range, and a thermocouple that reads colder is taken for reversed. Null where unknown: then a thermocouple counts as reversed from 15 °C below its reference junction, so state it where specimens are cooled.</summary>
    public double? ColdestCelsius { get; init; }

    /// <summary>Hottest temperature this tester meets, °C; a hotter reading is out of range. Null where unknown.</summary>
    public double? HottestCelsius { get; init; }

    /// <summary>Coldest that a measured reference junction can be, °C, -20 to 80; colder, its sensor is broken and the thermocouple says nothing.</summary>
    public double JunctionColdestCelsius { get; init; } = 5;

    /// <summary>Hottest that a measured reference junction can be, °C, -20 to 80.</summary>
    public double JunctionHottestCelsius { get; init; } = 60;

    /// <summary>Signal at the low end of the converter, in the chain's unit; a signal at or below it is saturated. Null where unknown.</summary>
    public double? ConverterLow { get; init; }

    /// <summary>Signal at the high end of the converter, in the chain's unit; a signal at or above it is saturated. Null where unknown.</summary>
    public double? ConverterHigh { get; init; }

    /// <summary>A signal that used to change and now repeats one value for longer than this is stuck, s; 5 to 3600.</summary>
    public double StuckAfterSeconds { get; init; } = 60;

    /// <summary>The thermometer is stale, or its reference junction unknown, after this long without a value while other readings come, s; 0.5 to 300.</summary>
    public double StaleAfterSeconds { get; init; } = 5;
}
