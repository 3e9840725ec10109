using System.Globalization;
using System.Runtime.CompilerServices;
using System.Text;
using System.Text.Json.Serialization;
using Acquire.Core.Methods;
using Acquire.Core.Results;
using Acquire.Core.Thermometry;

namespace Acquire.Core.Runs;

/// <summary>What is fixed before the cup is heated. A run and its plan together can be judged again at any time.</summary>
public sealed record RunPlan
{
    // Resolved once for each plan; beside the plan, so that plans stay equal and a changed copy is resolved anew.
    private static readonly ConditionalWeakTable<RunPlan, RunRules> Resolved = [];
    private static readonly ConditionalWeakTable<RunPlan, PortionRules> ResolvedPortions = [];

    /// <summary>Lowest and highest expected flash point accepted, °C.</summary>
    public static readonly ValueRange ExpectedFlashRangeCelsius = new(-30, 400);

    /// <summary>Lowest and highest absolute station pressure accepted, kPa.</summary>
    public static readonly ValueRange StationPressureRangeKilopascals = new(45, 110);

    /// <summary>The method that rules the run, whole, with all its variants.</summary>
    public required MethodDefinition Method { get; init; }

    /// <summary>The flash point the analyst expects, °C; the schedule hangs on it. Null where nobody knows: see <see cref="Scouting"/>.</summary>
    public required double? ExpectedFlashCelsius { get; init; }

    /// <summary>Whether nobody knows what to expect: the run only finds out what the next one may expect, and has nothing to report.</summary>
    public bool Scouting { get; init; }

    /// <summary>The specification that is tested, at standard pressure, °C; null where no flash or no flash is asked.</summary>
    public double? SpecificationCelsius { get; init; }

    /// <summary>Whether a search by steps ends with the method's optional, finer step.</summary>
    public bool FineStep { get; init; }

    /// <summary>What the specimen is, in the words of the method, where the method has figures of their own for it (<see cref="MethodDefinition.Materials"/>); null for every other.</summary>
    public string? Material { get; init; }

    /// <summary>Absolute pressure at the bench (not reduced to sea level), kPa; null where nobody read it.</summary>
    public double? StationPressureKilopascals { get; init; }

    /// <summary>The barometer that was asked where nobody gave the station pressure; null where somebody did, and where there is none.</summary>
    public BarometerReading? Barometer { get; init; }

    /// <summary>Shortest and longest time accepted between a prompt and its application, s.</summary>
    public static readonly ValueRange PromptLeadRangeSeconds = new(0, 30);

    /// <summary>Time between a prompt and its application where none is given, s: common practice, no source.</summary>
    public const double UsualPromptLeadSeconds = 5;

    /// <summary>Who judges what happens at the cup.</summary>
    public RunMode Mode { get; init; }

    /// <summary>How long before it is due an application is asked for in a guided run, s, 0 to 30; never so long that following at once would be early.</summary>
    public double PromptLeadSeconds { get; init; } = UsualPromptLeadSeconds;

    /// <summary>Whether the tester reports when its test flame is over the cup.</summary>
    public required bool HasFlameSignal { get; init; }

    /// <summary>What lies between the thermometer's signal and the temperatures of the run.</summary>
    public ThermometerChain Thermometer { get; init; } = ThermometerChain.Plain;

    /// <summary>Whether the temperatures stand in the record already and the chain that made them is not known here.</summary>
    public bool TemperaturesAsRead { get; init; }

    /// <summary>Day of the run, by which the calibration is judged; null where unknown: then it is not judged.</summary>
    public DateOnly? MadeOn { get; init; }

    /// <summary>What the laboratory knows beside the readings, for the uncertainty of the result.</summary>
    public LaboratoryFigures Figures { get; init; } = LaboratoryFigures.None;

    /// <summary>Whether a person judges what happens at the cup.</summary>
    [JsonIgnore]
    public bool IsGuided => Mode == RunMode.Guided;

    /// <summary>Whether the program commands heater and test flame.</summary>
    [JsonIgnore]
    public bool IsDriven => Mode == RunMode.Driven;

    /// <summary>Whether fresh portions are brought to fixed temperatures.</summary>
    [JsonIgnore]
    public bool IsEquilibrium => Method.Procedure == ProcedureKind.Equilibrium;

    /// <summary>The rules of an equilibrium run.</summary>
    /// <exception cref="ArgumentException">The method has a ramp, or nothing says where to begin; see <see cref="RunAim"/>.</exception>
    [JsonIgnore]
    internal PortionRules Portions => ResolvedPortions.GetValue(this, static plan => new(plan));

    /// <summary>The method without variants: what of it holds in this run.</summary>
    [JsonIgnore]
    public MethodDefinition Applied => IsEquilibrium ? Method : Rules.Method;

    /// <summary>The method as it applies to the expected flash point. In a scouting run, as if it began at the warmest start allowed: the rules that it is judged by follow from where it really starts.</summary>
    /// <exception cref="ArgumentException">The method has no ramp, or none for what is not known; see <see cref="RunAim"/>.</exception>
    [JsonIgnore]
    public RunRules Rules => Resolved.GetValue(this, static plan => plan.Resolve());

    /// <summary>Temperature of the first scheduled application, °C; null where it is not known before the run.</summary>
    public double? FirstApplicationCelsius => Scouting || IsEquilibrium ? null : Rules.FirstApplicationCelsius;

    // What follows from the plan is not printed: not every plan has all of it.
    private bool PrintMembers(StringBuilder text)
    {
        text.Append(CultureInfo.InvariantCulture, $"Method = {Method.Id}, ExpectedFlashCelsius = {ExpectedFlashCelsius}, Scouting = {Scouting}, SpecificationCelsius = {SpecificationCelsius}, Mode = {Mode}");
        return true;
    }

    private RunRules Resolve()
    {
        if (Scouting)
        {
            var start = Method.UnknownFlash is { } unknown ? ScoutingRules.WarmestStart(unknown) : 0;
            return RunRules.Scouting(Method, start, start);
        }

        return new(Method, ExpectedFlashCelsius ?? throw new ArgumentException("Nothing is expected, and the run is no scouting run."));
    }
}
