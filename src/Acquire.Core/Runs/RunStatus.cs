using Acquire.Core.Detection;
using Acquire.Core.Methods;
using Acquire.Core.Readings;

namespace Acquire.Core.Runs;

/// <summary>What a person at the bench wants to see now. Derived from the state, never stored.</summary>
public sealed record RunStatus
{
    /// <summary>Where the run stands.</summary>
    public required RunPhase Phase { get; init; }

    /// <summary>Time of the newest input on the run's axis, s.</summary>
    public required double AtSeconds { get; init; }

    /// <summary>Newest specimen temperature, °C; null before the first reading.</summary>
    public double? TemperatureCelsius { get; init; }

    /// <summary>Mean ramp rate over the record window, °C/min; null while the window is not full.</summary>
    public double? RateCelsiusPerMinute { get; init; }

    /// <summary>Standard uncertainty of that rate, °C/min.</summary>
    public double? RateUncertaintyCelsiusPerMinute { get; init; }

    /// <summary>The band the rate must keep now; null where none applies.</summary>
    public RateBand? Band { get; init; }

    /// <summary>Temperature of the next application, °C; null when no more are due.</summary>
    public double? NextApplicationCelsius { get; init; }

    /// <summary>Estimated time to the next application at the current rate, s; null where it cannot be told.</summary>
    public double? SecondsToNextApplication { get; init; }

    /// <summary>Number of the application that the person is asked for now, from 1; null where none is, and where the run is not guided.</summary>
    public int? PromptNumber { get; init; }

    /// <summary>Temperature at which that application is due, °C.</summary>
    public double? PromptDueCelsius { get; init; }

    /// <summary>What the newest observation said, while it can be taken back; null otherwise, and where the run is not guided.</summary>
    public Sighting? WithdrawableSighting { get; init; }

    /// <summary>When that observation was made, s on the run's axis.</summary>
    public double? WithdrawableAtSeconds { get; init; }

    /// <summary>How long it can still be taken back, s.</summary>
    public double? WithdrawableSeconds { get; init; }

    /// <summary>Where an equilibrium run stands; null for a run along a ramp, and before the first reading.</summary>
    public PortionStatus? Portions { get; init; }

    /// <summary>Applications so far.</summary>
    public required int Applications { get; init; }

    /// <summary>Whether the test flame is over the cup; null where the tester does not report it.</summary>
    public bool? FlameOver { get; init; }

    /// <summary>Newest detector value, in its own unit.</summary>
    public double? Detector { get; init; }

    /// <summary>Newest value of the second detector, in its own unit; null where the tester has none, and once it has fallen silent.</summary>
    public double? SecondDetector { get; init; }

    /// <summary>Observed flash point, °C, once there is one.</summary>
    public double? ObservedFlashCelsius { get; init; }

    /// <summary>Observed fire point, °C, once there is one.</summary>
    public double? ObservedFireCelsius { get; init; }

    /// <summary>Seconds the specimen has been burning, s; null when it is not.</summary>
    public double? BurningSeconds { get; init; }

    /// <summary>Whether a flash can be told at the detector's rate and noise; null before there was quiet to tell it from, and where a person judges.</summary>
    public DetectorCheck? DetectorCheck { get; init; }

    /// <summary>By how much the thermometer lags behind the specimen at the current ramp, time constant times rate, °C; null where either is unknown. Positive: it reads too low.</summary>
    public double? LagCelsius { get; init; }

    /// <summary>Newest thermometer signal as sent, in the unit of the chain; null where the tester sends °C.</summary>
    public double? ThermometerSignal { get; init; }

    /// <summary>Newest temperature of the reference junction, °C; null where none is sent.</summary>
    public double? JunctionCelsius { get; init; }

    /// <summary>Newest power given to the heater, as a share of its most, 0 to 1; null where it is not told.</summary>
    public double? HeaterFraction { get; init; }

    /// <summary>Newest speed of the stirrer, r/min; null where it is not told.</summary>
    public double? StirrerRevolutionsPerMinute { get; init; }

    /// <summary>Whether the stirrer turns, by its speed or as the tester says; null where neither is told.</summary>
    public bool? Stirring { get; init; }

    /// <summary>Whether the test flame burns; null where it is not told.</summary>
    public bool? Lit { get; init; }

    /// <summary>Newest speed of the air beside the cup, m/s; null where it is not told.</summary>
    public double? AirMetresPerSecond { get; init; }

    /// <summary>Newest temperature of the room beside the tester, °C; null where it is not told.</summary>
    public double? AmbientCelsius { get; init; }

    /// <summary>What is known against the newest thermometer reading, in the words of <see cref="ReadingMarkWords"/>; empty where nothing is.</summary>
    public IReadOnlyList<string> ThermometerMarks { get; init; } = [];
}
