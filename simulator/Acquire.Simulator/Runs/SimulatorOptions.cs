using System.Text.Json.Serialization;
using Acquire.Core;
using Acquire.Core.Methods;
using Acquire.Core.Runs;
using Acquire.Core.Thermometry;

namespace Acquire.Simulator;

/// <summary>Everything that decides a simulated run. Equal options give equal rows, to the last digit.</summary>
/// <remarks><see cref="Check"/> names each option that is out of range; a run made from such options throws.</remarks>
public sealed record SimulatorOptions
{
    /// <summary>The method that the tester follows: bands, schedule, fire point. Written as its id.</summary>
    [JsonConverter(typeof(MethodIdConverter))]
    public required MethodDefinition Method { get; init; }

    /// <summary>Flash point of the specimen as this tester's thermometer reads it on the method's ramp at standard pressure, °C; within the method's scope.</summary>
    public required double FlashCelsius { get; init; }

    /// <summary>Fire point likewise, °C; from the flash point to 150 °C above it. Null: it is never reached, and the tester stops three applications after the first flash.</summary>
    public double? FireCelsius { get; init; }

    /// <summary>What the specimen is made of; its <see cref="FlashCelsius"/> and <see cref="FireCelsius"/> are then those that <see cref="SpecimenRuns.WithSpecimen"/> gives. Null: an oil made to order.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public Specimen? Specimen { get; init; }

    /// <summary>What the person expects, °C; within the method's scope. Null: the flash point to the nearest degree.</summary>
    public double? ExpectedFlashCelsius { get; init; }

    /// <summary>Whether the person knows nothing and makes a scouting run: the tester follows what the method says about an unknown flash point, and stops at the first flash.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingDefault)]
    public bool Scouting { get; init; }

    /// <summary>The specification that is tested for flash or no flash, °C; only for a method that asks for it.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public double? SpecificationCelsius { get; init; }

    /// <summary>Whether a search by steps ends with the method's optional, finer step.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingDefault)]
    public bool FineStep { get; init; }

    /// <summary>Pressure at the station, kPa, 60 to 110.</summary>
    public double StationPressureKilopascals { get; init; } = 101.3;

    /// <summary>Temperature of the room, °C, 5 to 45.</summary>
    public double AmbientCelsius { get; init; } = 23;

    /// <summary>Temperature of cup and test portion at the start, °C, -60 to what the method allows below the expected flash point. Null: 25, or lower where the method asks for it; in a scouting run from a range of starts its middle.</summary>
    public double? StartCelsius { get; init; }

    /// <summary>What the thermometer reads as it is put in, °C, -60 to 450. Null: the start temperature.</summary>
    public double? ThermometerStartCelsius { get; init; }

    /// <summary>Temperature of a thermocouple's reference junction at the start, °C, 5 to 60. Null: about that of the room.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public double? JunctionStartCelsius { get; init; }

    /// <summary>Own time at rest before the heater goes on, s, 0 to 3600.</summary>
    public double LeadInSeconds { get; init; } = 5;

    /// <summary>Own time recorded after the heater is off, s, 0 to 7200. After 420 s the cup has fallen far enough at any flash point that a run closes by itself.</summary>
    public double CoolingSeconds { get; init; } = 420;

    /// <summary>Rate to hold instead of the middle of the method's controlled band, °C/min, 0.5 to 20: a spoiled run.</summary>
    public double? ControlledRateCelsiusPerMinute { get; init; }

    /// <summary>A stretch heated at a wrong rate; null for none.</summary>
    public HeatingExcursion? Excursion { get; init; }

    /// <summary>Whether flashes close below the fire point burn on for a while, always shorter than the method asks of a fire.</summary>
    public bool ShortBurns { get; init; }

    /// <summary>Readings per second, 10 to 500.</summary>
    public double RowsPerSecond { get; init; } = 50;

    /// <summary>Standard deviation of the moments of reading, s; 0 to a fifth of the time between rows.</summary>
    public double TimestampJitterSeconds { get; init; }

    /// <summary>Whether the rows carry the test-flame position.</summary>
    public bool HasFlameSignal { get; init; } = true;

    /// <summary>The person who works the cup by hand; null: a mechanism passes the test flame. With one the rows hold the thermometer alone.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public SimulatedAnalyst? Analyst { get; init; }

    /// <summary>Picks one of 2^64 runs.</summary>
    public ulong Seed { get; init; } = 1;

    /// <summary>The specimen thermometer.</summary>
    public SimulatedThermometer Thermometer { get; init; } = new();

    /// <summary>The ignition detector and what it sees.</summary>
    public DetectorScene Scene { get; init; } = DetectorScene.Clear;

    /// <summary>What the only ignition detector is; with two it has no meaning.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingDefault)]
    public DetectorKind Detector { get; init; }

    /// <summary>Whether the tester has two ignition detectors: an ionisation electrode, which decides, and a thermal one, which confirms.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingDefault)]
    public bool TwoDetectors { get; init; }

    /// <summary>What disturbs the run on purpose; at most 50.</summary>
    public IReadOnlyList<Disturbance> Disturbances { get; init; } = [];

    /// <summary>Frequency of the disturbance <see cref="DisturbanceKind.Hum"/>, Hz, 0.01 to 500: that of the mains, or the slow wave itself that it is to fold down to. Null: that of the scene.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public double? HumHertz { get; init; }

    /// <summary>Name of the <see cref="Acquire.Simulator.Situation"/> that the run was made for; null for none. It decides nothing.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public string? Situation { get; init; }

    /// <summary>What the tester tells of its bench, and what goes wrong there.</summary>
    public SimulatedBench Bench { get; init; } = SimulatedBench.Silent;

    /// <summary>The expected flash point that applies, °C.</summary>
    [JsonIgnore]
    public double Expected => ExpectedFlashCelsius ?? Math.Round(FlashCelsius);

    /// <summary>Whether fresh portions are brought to fixed temperatures.</summary>
    [JsonIgnore]
    public bool IsEquilibrium => Method.Procedure == ProcedureKind.Equilibrium;

    /// <summary>What the person knows before the run; an equilibrium procedure that tests one temperature expects nothing.</summary>
    [JsonIgnore]
    public RunAim Aim => new()
    {
        ExpectedFlashCelsius = Scouting || Method.Equilibrium?.Aim == EquilibriumAim.FlashNoFlash ? ExpectedFlashCelsius : Expected,
        Scouting = Scouting,
        SpecificationCelsius = SpecificationCelsius,
        FineStep = FineStep,
    };

    /// <summary>The start temperature that applies, °C.</summary>
    [JsonIgnore]
    public double Start => StartCelsius ?? (Scouting && Method.UnknownFlash?.StartCelsius is { } range ? (range.From + range.To) / 2 : Math.Min(25, HighestStart));

    /// <summary>The highest start that the method allows, °C.</summary>
    internal double HighestStart => IsEquilibrium ? 300 : Scouting ? RunRules.Scouting(Method, 0, 0).StartAtMostCelsius : Rules.StartAtMostCelsius;

    /// <summary>The method as it applies to the expected flash point, or from the start on where nothing is expected; only for methods with a ramp.</summary>
    internal RunRules Rules => RulesFrom(double.NegativeInfinity);

    /// <summary>The rules once the specimen has reached a temperature without a flash, °C.</summary>
    internal RunRules RulesFrom(double reachedCelsius) => Scouting ? RunRules.Scouting(Method, Start, Math.Max(Start, reachedCelsius)) : new(Method, Expected);

    /// <summary>What is out of range, option by option; empty when a run can be made.</summary>
    public IReadOnlyList<InputError> Check() => SimulatorOptionRanges.Check(this);
}

/// <summary>The specimen thermometer of a simulated tester.</summary>
public sealed record SimulatedThermometer
{
    /// <summary>First-order lag, s, 3 to 60. A 3 mm sheath in unstirred oil: about 15 s (computed, film coefficient assumed).</summary>
    public double LagSeconds { get; init; } = 15;

    /// <summary>Standard deviation of one reading of a tester that sends temperatures, °C, 0 to 1.</summary>
    public double NoiseCelsius { get; init; } = 0.03;

    /// <summary>Step of the display of a tester that sends temperatures, in the unit it sends, 0.001 to 1.</summary>
    public double StepCelsius { get; init; } = 0.1;

    /// <summary>How its zero drifts from the start of the record on, °C/h, -10 to 10.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingDefault)]
    public double DriftCelsiusPerHour { get; init; }

    /// <summary>What the tester sends of its thermometer. Its certificate and stem are errors that this thermometer really has; its lag is not used, <see cref="LagSeconds"/> is.</summary>
    public ThermometerChain Chain { get; init; } = ThermometerChain.Plain;

    /// <summary>What goes wrong with it, and when; at most 100. Of several faults at a time the first given shows.</summary>
    public IReadOnlyList<SimulatedFault> Faults { get; init; } = [];
}

/// <summary>A stretch of the ramp heated at a wrong rate.</summary>
/// <param name="FromBelowExpectedCelsius">Where it begins, °C below the expected flash point, -100 to 200.</param>
/// <param name="ToBelowExpectedCelsius">Where it ends, °C below the expected flash point; less than the beginning.</param>
/// <param name="RateCelsiusPerMinute">Rate aimed at, °C/min, 0.5 to 25.</param>
public sealed record HeatingExcursion(double FromBelowExpectedCelsius, double ToBelowExpectedCelsius, double RateCelsiusPerMinute);
