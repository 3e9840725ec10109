using System.Text.Json.Serialization;

namespace Acquire.Simulator;

/// <summary>What really happened in a simulated run. Times in s on the rows' own axis; temperatures as the thermometer shows them, before noise and display step, °C.</summary>
public sealed record SimulatedTruth
{
    /// <summary>What the run was made from; with the same version of the program it gives the same rows again.</summary>
    public required SimulatorOptions Options { get; init; }

    /// <summary>Seed of the run.</summary>
    public required ulong Seed { get; init; }

    /// <summary>Flash point asked for, or computed for a specimen of known liquids, as the tester reads it at standard pressure, °C.</summary>
    public required double FlashCelsius { get; init; }

    /// <summary>Fire point likewise, °C; null where there is none.</summary>
    public required double? FireCelsius { get; init; }

    /// <summary>What the specimen is made of; null for an oil made to order.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public SpecimenTruth? Specimen { get; init; }

    /// <summary>Expected flash point that the schedule was counted from, °C; null in a scouting run and where one temperature is tested.</summary>
    public required double? ExpectedFlashCelsius { get; init; }

    /// <summary>Reading at which vapour would reach its limit on the nominal ramp at the station's pressure, °C.</summary>
    public required double FlashAtStationCelsius { get; init; }

    /// <summary>The same for the fire point, °C; null where there is none.</summary>
    public required double? FireAtStationCelsius { get; init; }

    /// <summary>Each pass of the test flame, in order.</summary>
    public required IReadOnlyList<SimulatedApplication> Applications { get; init; }

    /// <summary>The first flash; null if there was none.</summary>
    public required SimulatedOnset? Flash { get; init; }

    /// <summary>The beginning of the burning that did not stop by itself; null if there was none.</summary>
    public required SimulatedOnset? Fire { get; init; }

    /// <summary>When the heater went on, s.</summary>
    public required double HeaterOnSeconds { get; init; }

    /// <summary>When the heater went off and, if the cup burned, the cover went on, s.</summary>
    public required double HeaterOffSeconds { get; init; }

    /// <summary>End of the record, s.</summary>
    public required double EndSeconds { get; init; }

    /// <summary>What the person at the cup keyed in, in order; null where a mechanism moves the test flame.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public IReadOnlyList<SimulatedKey>? Keys { get; init; }

    /// <summary>What became of each kind of disturbance that was asked for; null where none was.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public IReadOnlyList<SimulatedDisturbance>? Disturbances { get; init; }
}

/// <summary>One pass of the test flame.</summary>
/// <param name="Number">From 1.</param>
/// <param name="TimeSeconds">When the flame came over the cup, s.</param>
/// <param name="TemperatureCelsius">As read then, °C.</param>
/// <param name="DurationSeconds">How long the flame stayed, s.</param>
/// <param name="FromLeft">Direction; it changes with every pass.</param>
/// <param name="VapourRatio">Vapour at the flame over its flammability limit; a flash near 1 and above.</param>
/// <param name="Halo">Strength of the halo: 0 for none, 1 at the flash point.</param>
/// <param name="Flashed">Whether flame spread over the surface.</param>
/// <param name="BurnedSeconds">How long the surface then burned, s; 0 for a mere flash.</param>
public sealed record SimulatedApplication(
    int Number,
    double TimeSeconds,
    double TemperatureCelsius,
    double DurationSeconds,
    bool FromLeft,
    double VapourRatio,
    double Halo,
    bool Flashed,
    double BurnedSeconds);

/// <summary>A flash or a fire as it begins.</summary>
/// <param name="ApplicationNumber">At which pass.</param>
/// <param name="TimeSeconds">When, s.</param>
/// <param name="TemperatureCelsius">As read then, °C.</param>
public sealed record SimulatedOnset(int ApplicationNumber, double TimeSeconds, double TemperatureCelsius);
