using System.Runtime.InteropServices;

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

    /// <summary>The number of the newest drive command that a driven tester obeys.</summary>
    Command = 32,

    /// <summary>The power that the heater is really given.</summary>
    Heater = 64,

    /// <summary>The speed of the stirrer.</summary>
    Stirrer = 128,

    /// <summary>Whether the stirrer turns, of a tester that does not measure its speed.</summary>
    Stirring = 256,

    /// <summary>Whether the test flame burns, wherever it stands.</summary>
    Lit = 512,

    /// <summary>The speed of the air beside the cup.</summary>
    Air = 1024,

    /// <summary>The temperature of the room beside the tester.</summary>
    Ambient = 2048,

    /// <summary>A second ignition detector, which confirms what the first one decides.</summary>
    SecondDetector = 4096,

    /// <summary>The air pressure at the bench. Of a source that testers of a room share, never in a tester's record.</summary>
    Pressure = 8192,
}

/// <summary>Readings that one tester delivered for one moment: one line of a wire, one message, one row of a trace.</summary>
/// <remarks>A channel that is not in <see cref="Present"/> has no value, whatever the field holds; it is never zero and never the last value.</remarks>
/// <param name="AtSeconds">The readings' own time, s from the start of the record; finite.</param>
/// <param name="Present">Which of the values are there.</param>
/// <param name="TemperatureCelsius">Specimen temperature, °C, -273.15 to 1500.</param>
/// <param name="Detector">Ignition detector in its own unit; finite.</param>
/// <param name="FlameOver">Whether the test flame is over the cup.</param>
[StructLayout(LayoutKind.Auto)]
public readonly record struct ReadingRow(double AtSeconds, RowChannels Present, double TemperatureCelsius, double Detector, bool FlameOver)
{
    /// <summary>The thermometer's signal as sent, in the unit of the tester's <see cref="Thermometry.ThermometerChain"/>; finite.</summary>
    public double Signal { get; init; }

    /// <summary>Temperature of the reference junction, °C, -273.15 to 1500.</summary>
    public double JunctionCelsius { get; init; }

    /// <summary>What is known against the thermometer reading; a bad one is kept and marked, never dropped.</summary>
    public ReadingMarks Marks { get; init; }

    /// <summary>Number of the newest drive command that the tester obeys; 0 or above. A tester that obeys none does not send it.</summary>
    public long Command { get; init; }

    /// <summary>Power that the heater is given, as a share of its most, 0 to 1.</summary>
    public double HeaterFraction { get; init; }

    /// <summary>Speed of the stirrer, r/min, 0 to <see cref="FastestStirrerRevolutionsPerMinute"/>.</summary>
    public double StirrerRevolutionsPerMinute { get; init; }

    /// <summary>Whether the stirrer turns.</summary>
    public bool Stirring { get; init; }

    /// <summary>Whether the test flame burns.</summary>
    public bool Lit { get; init; }

    /// <summary>Speed of the air beside the cup, m/s, 0 to <see cref="FastestAirMetresPerSecond"/>.</summary>
    public double AirMetresPerSecond { get; init; }

    /// <summary>Temperature of the room beside the tester, °C, <see cref="LowestAmbientCelsius"/> to <see cref="HighestAmbientCelsius"/>.</summary>
    public double AmbientCelsius { get; init; }

    /// <summary>A second ignition detector in its own unit; finite. The first decides, this one confirms.</summary>
    public double SecondDetector { get; init; }

    /// <summary>Absolute air pressure at the bench, kPa, within <see cref="Runs.RunPlan.StationPressureRangeKilopascals"/>.</summary>
    public double PressureKilopascals { get; init; }

    /// <summary>Whether the row carries a specimen temperature that may be used.</summary>
    public bool HasSoundTemperature => Has(RowChannels.Temperature) && (Marks & ReadingMarks.Unused) == 0;

    /// <summary>Lowest temperature a row may carry, °C.</summary>
    public const double LowestCelsius = -273.15;

    /// <summary>Highest temperature a row may carry, °C.</summary>
    public const double HighestCelsius = 1500;

    /// <summary>Highest speed of a stirrer that a row may carry, r/min.</summary>
    public const double FastestStirrerRevolutionsPerMinute = 5000;

    /// <summary>Highest speed of the air that a row may carry, m/s.</summary>
    public const double FastestAirMetresPerSecond = 20;

    /// <summary>Lowest temperature of a room that a row may carry, °C.</summary>
    public const double LowestAmbientCelsius = -40;

    /// <summary>Highest temperature of a room that a row may carry, °C.</summary>
    public const double HighestAmbientCelsius = 80;

    /// <summary>What is told of the bench beside thermometer, detector and the flame's position: stirrer, test flame, air, room.</summary>
    public const RowChannels BenchChannels = RowChannels.Stirrer | RowChannels.Stirring | RowChannels.Lit | RowChannels.Air | RowChannels.Ambient;

    /// <summary>A stirrer slower than this stands, r/min: what a speed sensor shows at rest is not always 0.</summary>
    public const double StandingRevolutionsPerMinute = 5;

    /// <summary>Whether the stirrer turns, by its speed or as the tester says; null where the row tells neither.</summary>
    public bool? Turns => Has(RowChannels.Stirrer) ? StirrerRevolutionsPerMinute >= StandingRevolutionsPerMinute : Has(RowChannels.Stirring) ? Stirring : null;

    /// <summary>Whether the row carries any of the <see cref="BenchChannels"/>.</summary>
    public bool HasBench => (Present & BenchChannels) != 0;

    /// <summary>Whether the row carries the channel.</summary>
    public bool Has(RowChannels channel) => (Present & channel) != 0;
}
