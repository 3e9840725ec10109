namespace Acquire.Core.Readings;

/// <summary>Which channels a row carries.</summary>
[Flags]
public enum RowChannels
{
    /// <summary>Nothing: the default row says nothing.</summary>
    None = 0,

    /// <summary>The specimen thermometer.</summary>
    Temperature = 1,

    /// <summary>The ignition detector.</summary>
    Detector = 2,

    /// <summary>The test-flame position.</summary>
    Flame = 4,

    /// <summary>The thermometer's signal as the tester sent it, before anything was made of it.</summary>
    Signal = 8,

    /// <summary>The temperature of a thermocouple's reference junction.</summary>
    Junction = 16,
}

/// <summary>Readings that one tester delivered for one moment: one line of a wire, one message, one row of a trace.</summary>
/// <remarks>A channel that is not in <see cref="Present"/> has no value, whatever the field holds; it is never zero and never the last value.</remarks>
/// <param name="AtSeconds">The readings' own time, s from the start of the record; finite.</param>
/// <param name="Present">Which of the values are there.</param>
/// <param name="TemperatureCelsius">Specimen temperature, °C, -273.15 to 1500.</param>
/// <param name="Detector">Ignition detector in its own unit; finite.</param>
/// <param name="FlameOver">Whether the test flame is over the cup.</param>
public readonly record struct ReadingRow(double AtSeconds, RowChannels Present, double TemperatureCelsius, double Detector, bool FlameOver)
{
    /// <summary>The thermometer's signal as sent, in the unit of the tester's <see cref="Thermometry.ThermometerChain"/>; finite.</summary>
    public double Signal { get; init; }

    /// <summary>Temperature of the reference junction, °C, -273.15 to 1500.</summary>
    public double JunctionCelsius { get; init; }

    /// <summary>What is known against the thermometer reading; a bad one is kept and marked, never dropped.</summary>
    public ReadingMarks Marks { get; init; }

    /// <summary>Whether the row carries a specimen temperature that may be used.</summary>
    public bool HasSoundTemperature => Has(RowChannels.Temperature) && (Marks & ReadingMarks.Unused) == 0;

    /// <summary>Lowest temperature a row may carry, °C.</summary>
    public const double LowestCelsius = -273.15;

    /// <summary>Highest temperature a row may carry, °C.</summary>
    public const double HighestCelsius = 1500;

    /// <summary>Whether the row carries the channel.</summary>
    public bool Has(RowChannels channel) => (Present & channel) != 0;
}
