using System.Globalization;
using System.Text.Json.Serialization;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Core.Thermometry;
using Acquire.Service.Archive.Corrections;

namespace Acquire.Service.Live;

/// <summary>Whether readings can arrive from a tester.</summary>
public enum ConnectionState
{
    /// <summary>Not yet connected, or being connected again.</summary>
    Connecting,

    /// <summary>The wire is open.</summary>
    Up,

    /// <summary>The wire is closed or broken; <see cref="TesterOverview.ConnectionText"/> says why.</summary>
    Down,
}

/// <summary>What has come over a tester's wire since the service started.</summary>
/// <param name="Rows">Rows understood.</param>
/// <param name="Malformed">Lines or payloads refused.</param>
/// <param name="QueueFull">Times the source had to wait for the lane.</param>
/// <param name="QueueDepth">Rows waiting now.</param>
/// <param name="QueueCapacity">Rows that may wait.</param>
/// <param name="Missed">Polls that were due and brought no reading, or readings that the tester counted and that did not come.</param>
/// <param name="Repeated">Readings that came twice and were taken once.</param>
/// <param name="Late">Readings that came behind newer ones, were kept and marked, and not judged.</param>
public sealed record TesterCounters(long Rows, long Malformed, long QueueFull, int QueueDepth, int QueueCapacity, long Missed = 0, long Repeated = 0, long Late = 0);

/// <summary>A value of a room that testers share.</summary>
/// <param name="Value">In the unit that the name of its member says.</param>
/// <param name="SecondsAgo">Since it arrived, s.</param>
/// <param name="Stale">Whether it is too old to be used.</param>
public sealed record AmbientReading(double Value, double SecondsAgo, bool Stale);

/// <summary>One source that testers share, at a glance.</summary>
/// <param name="Id">Its id.</param>
/// <param name="Name">Its name for people.</param>
/// <param name="Source">Where its readings come from, in words.</param>
/// <param name="Connection">Whether readings can arrive.</param>
/// <param name="ConnectionText">Why not, and what to do; null where there is nothing to say.</param>
/// <param name="Counters">What has come over its wire.</param>
/// <param name="LastRefusal">The newest line or payload that was refused, and why; null where there was none.</param>
/// <param name="StaleAfterSeconds">Age at which a reading is no longer used, s.</param>
/// <param name="PressureKilopascals">Absolute air pressure, kPa; null where none has come.</param>
/// <param name="AmbientCelsius">Temperature of the room, °C; null where none has come.</param>
/// <param name="AirMetresPerSecond">Speed of the air, m/s; null where none has come.</param>
public sealed record AmbientOverview(
    string Id,
    string Name,
    string Source,
    ConnectionState Connection,
    string? ConnectionText,
    TesterCounters Counters,
    string? LastRefusal,
    double StaleAfterSeconds,
    AmbientReading? PressureKilopascals,
    AmbientReading? AmbientCelsius,
    AmbientReading? AirMetresPerSecond);

/// <summary>How the configuration in force stands to the file.</summary>
/// <param name="File">The file; null where the service does not follow one.</param>
/// <param name="TakenAt">When the file in force was taken, UTC.</param>
/// <param name="Taken">How many changed versions of the file were taken since the service started.</param>
/// <param name="Refused">How many versions were refused because of mistakes.</param>
/// <param name="Added">Testers added since the service started.</param>
/// <param name="Changed">Testers changed.</param>
/// <param name="Removed">Testers removed.</param>
/// <param name="Mistakes">Every mistake of the file as it is now; empty where it is in force. While there are some, nothing of it is.</param>
/// <param name="Waiting">What of it is not in force yet, and what for, a sentence each.</param>
public sealed record ConfigurationOverview(
    string? File,
    DateTimeOffset TakenAt,
    long Taken,
    long Refused,
    long Added,
    long Changed,
    long Removed,
    IReadOnlyList<string> Mistakes,
    IReadOnlyList<string> Waiting);

/// <summary>An alarm that stands.</summary>
/// <param name="Code">Stable code.</param>
/// <param name="Text">What is wrong and what to look at.</param>
/// <param name="Since">When it was raised, UTC.</param>
public sealed record StandingAlarm(string Code, string Text, DateTimeOffset Since);

/// <summary>A tester's thermometer: how its temperatures are made, and whether its calibration is in force.</summary>
/// <param name="Steps">The steps from the signal to the temperature, in words.</param>
/// <param name="SignalUnit">Symbol of the signal's unit; null where the tester sends °C.</param>
/// <param name="Calibration">Standing of the certificate today; null where there is none.</param>
/// <param name="CalibrationDueOn">Day on which the next calibration is due; null where there is no certificate.</param>
public sealed record ThermometerOverview(IReadOnlyList<string> Steps, string? SignalUnit, CalibrationStanding? Calibration, DateOnly? CalibrationDueOn)
{
    /// <summary>The overview of a chain on a day.</summary>
    public static ThermometerOverview Of(ThermometerChain chain, DateOnly day)
    {
        ArgumentNullException.ThrowIfNull(chain);
        return new(
            ThermometerWords.Steps(chain),
            chain.Unit == ThermometerUnit.Celsius ? null : ThermometerUnits.Symbol(chain.Unit),
            chain.Calibration is { } certificate ? CalibrationCurve.StandingOn(certificate, day).Standing : null,
            chain.Calibration?.DueOn);
    }
}

/// <summary>Why the heater of a driven tester is off until a person turns it on again.</summary>
/// <param name="Code">Stable code, see <see cref="Core.Control.TripCodes"/>.</param>
/// <param name="Text">What happened, its limit, what to do, and the caution.</param>
/// <param name="Since">UTC.</param>
public sealed record DriveTrip(string Code, string Text, DateTimeOffset Since);

/// <summary>How a driven tester is commanded now.</summary>
/// <param name="On">Whether the heater may be on.</param>
/// <param name="OnBy">Who turned it on; null while it is off.</param>
/// <param name="AskedFraction">Power commanded, 0 to 1 of the heater's most.</param>
/// <param name="GivenFraction">Power that the tester says it gives, 0 to 1; null where it does not say.</param>
/// <param name="FlameOver">Whether the test flame is commanded over the cup.</param>
/// <param name="SecondsSinceAcknowledged">Age of the newest command that the tester said it obeys, s; null before the first.</param>
/// <param name="HighestCelsius">The heater is off above this reading, °C: in an open run the lower of the tester's limit and what the run allows.</param>
/// <param name="Trips">Why the heater is off, in the order in which it happened; empty while it is on, and where nobody has turned it on yet.</param>
public sealed record DriveOverview(
    bool On,
    string? OnBy,
    double AskedFraction,
    double? GivenFraction,
    bool FlameOver,
    double? SecondsSinceAcknowledged,
    double HighestCelsius,
    IReadOnlyList<DriveTrip> Trips);

/// <summary>One tester at a glance.</summary>
/// <param name="Id">Tester id.</param>
/// <param name="Name">Its name for people.</param>
/// <param name="Source">Where its readings come from, in words.</param>
/// <param name="Connection">Whether readings can arrive.</param>
/// <param name="ConnectionText">Why not, and what to do; null where there is nothing to say.</param>
/// <param name="SecondsSinceReading">Age of the newest row, s; null before the first.</param>
/// <param name="Counters">What has come over its wire.</param>
/// <param name="LastRefusal">The newest line or payload that was refused, and why; null where there was none.</param>
/// <param name="Alarms">Alarms that stand, oldest first.</param>
/// <param name="Run">The open run or, until the next, the newest closed one; null before the first since the service started.</param>
/// <param name="Status">Newest status; null before the first row.</param>
/// <param name="Thermometer">How its temperatures are made.</param>
/// <param name="Drive">How it is commanded; null where it is not driven.</param>
/// <param name="Mode">Who judges what happens at its cup, and who works it.</param>
/// <param name="Ambient">The shared sources whose readings it is given; null where it names none.</param>
public sealed record TesterOverview(
    string Id,
    string Name,
    string Source,
    ConnectionState Connection,
    string? ConnectionText,
    double? SecondsSinceReading,
    TesterCounters Counters,
    string? LastRefusal,
    IReadOnlyList<StandingAlarm> Alarms,
    RunSummary? Run,
    RunStatus? Status,
    ThermometerOverview Thermometer,
    DriveOverview? Drive = null,
    RunMode Mode = RunMode.Observed,
    IReadOnlyList<AmbientOverview>? Ambient = null);

/// <summary>One run in a list.</summary>
/// <param name="Id">Run id.</param>
/// <param name="TesterId">Tester that made it.</param>
/// <param name="MethodId">Method that ruled it.</param>
/// <param name="Specimen">What was in the cup, as booked in.</param>
/// <param name="ExpectedFlashCelsius">Expected flash point, °C; null where nothing was expected.</param>
/// <param name="StartedAt">UTC; <see cref="UnreadableTime"/> where the record does not tell.</param>
/// <param name="ClosedAt">UTC; null while it runs; <see cref="UnreadableTime"/> where the record does not tell.</param>
/// <param name="ArchivedRows">Rows committed to the archive so far: what a power cut cannot take.</param>
/// <param name="Interrupted">True where the service ended before the run was closed.</param>
/// <param name="Result">The result of a closed run.</param>
/// <param name="Scouting">Whether the run only finds out what the next one may expect.</param>
/// <param name="SpecificationCelsius">The specification tested for flash or no flash, °C; null for any other run.</param>
/// <param name="Corrections">How many corrections were made after it was closed. Specimen, expected flash point and result are as corrected.</param>
/// <param name="Resumed">How many times it was taken up again after the service had stopped.</param>
/// <param name="ImportedFrom">Id of the archive that the run was taken from; null for a run that was made here.</param>
/// <param name="Damage">What of its record cannot be read, in words; null where all can be. Its result is then left out.</param>
public sealed record RunSummary(
    string Id,
    string TesterId,
    string MethodId,
    string Specimen,
    double? ExpectedFlashCelsius,
    DateTimeOffset StartedAt,
    DateTimeOffset? ClosedAt,
    long ArchivedRows,
    bool Interrupted,
    RunResult? Result,
    bool Scouting = false,
    double? SpecificationCelsius = null,
    int Corrections = 0,
    int Resumed = 0,
    string? ImportedFrom = null,
    string? Damage = null)
{
    /// <summary>Stands for a time of a damaged run that cannot be read: midnight of 1 January of the year 1.</summary>
    public static DateTimeOffset UnreadableTime => DateTimeOffset.MinValue;
}

/// <summary>One run in full.</summary>
/// <param name="Summary">Its line in the list.</param>
/// <param name="Plan">What was fixed before heating, with the whole method.</param>
/// <param name="Events">Everything the supervisor stated, in order.</param>
/// <param name="Statement">What the closed run may state, with its uncertainty; null while it is open.</param>
/// <param name="ThermometerSteps">The plan's thermometer chain in words: the steps from the signal to the temperature.</param>
public sealed record RunDetail(RunSummary Summary, RunPlan Plan, IReadOnlyList<RunOutput> Events, IReadOnlyList<string> ThermometerSteps, RunStatement? Statement = null)
{
    /// <summary>Size of what the wire said during the run, bytes; null where it was not kept.</summary>
    public long? WireBytes { get; init; }

    /// <summary>What was added after the run was closed. Plan and events are as they were; summary and statement are as corrected.</summary>
    public RunAudit Audit { get; init; } = RunAudit.Empty;
}

/// <summary>A stretch of a run's curve, in columns. Points are means over a fixed fifth of a second of the readings' own time.</summary>
/// <param name="From">Index of the first point in this stretch.</param>
/// <param name="Time">Middle of each point, s on the run's axis.</param>
/// <param name="Temperature">Mean temperature, °C; null where the stretch of time holds no reading.</param>
/// <param name="DetectorLow">Lowest detector value, in its own unit; null where there was none.</param>
/// <param name="DetectorHigh">Highest detector value; a blink is never averaged away.</param>
/// <param name="Flame">Whether the test flame was over the cup at any time in the point.</param>
public sealed record CurveStretch(
    int From,
    IReadOnlyList<double> Time,
    IReadOnlyList<double?> Temperature,
    IReadOnlyList<double?> DetectorLow,
    IReadOnlyList<double?> DetectorHigh,
    IReadOnlyList<bool> Flame)
{
    /// <summary>Lowest value of the second detector, in its own unit, likewise; the whole column is null where no point of the stretch has one.</summary>
    public IReadOnlyList<double?>? SecondDetectorLow { get; init; }

    /// <summary>Highest value of the second detector; null where <see cref="SecondDetectorLow"/> is.</summary>
    public IReadOnlyList<double?>? SecondDetectorHigh { get; init; }
}

/// <summary>What the live stream of one run sends. Points and events come in order, without holes, from where the reader asked.</summary>
/// <param name="Curve">New points.</param>
/// <param name="EventsFrom">Index of the first event in <paramref name="Events"/>.</param>
/// <param name="Events">New events.</param>
/// <param name="Status">Newest status; null once the run is closed.</param>
/// <param name="Summary">The run's line in the list.</param>
public sealed record RunUpdate(CurveStretch Curve, int EventsFrom, IReadOnlyList<RunOutput> Events, RunStatus? Status, RunSummary Summary);

/// <summary>Asks for a run to be started.</summary>
/// <param name="MethodId">Method id.</param>
/// <param name="ExpectedFlashCelsius">Expected flash point, °C; null for a scouting run.</param>
/// <param name="StationPressureKilopascals">Absolute station pressure, kPa; null where nobody read it.</param>
/// <param name="Specimen">What is in the cup; 1 to 80 characters.</param>
/// <param name="StationPressure">The pressure as the barometer shows it, with its unit, such as `973 hPa` (kPa, hPa, mbar, mmHg), in place of the figure in kPa.</param>
/// <param name="Material">What the specimen is, in the words of the method, where the method has figures of their own for it; null for every other.</param>
/// <param name="Scouting">Whether nobody knows what to expect, so that the run is to find it out.</param>
/// <param name="SpecificationCelsius">The specification to be tested for flash or no flash, at standard pressure, °C; null where a flash point is to be determined.</param>
/// <param name="FineStep">Whether a search by steps is to end with the method's optional, finer step.</param>
public sealed record StartRunRequest(string MethodId, double? ExpectedFlashCelsius, double? StationPressureKilopascals, string Specimen, string? StationPressure = null, string? Material = null, bool Scouting = false, double? SpecificationCelsius = null, bool FineStep = false)
{
    /// <summary>What the run is to find out.</summary>
    [JsonIgnore]
    public RunAim Aim => new() { ExpectedFlashCelsius = ExpectedFlashCelsius, Scouting = Scouting, SpecificationCelsius = SpecificationCelsius, FineStep = FineStep, Material = Material };
}

/// <summary>What a closed run may state about one of its points.</summary>
/// <param name="Statement">The result with its expanded uncertainty in one sentence; null where nothing can be reported.</param>
/// <param name="CannotReport">Why nothing can be reported, in one sentence; null where it can.</param>
/// <param name="Uncertainty">The budget; null where nothing can be reported.</param>
public sealed record PointStatement(string? Statement, string? CannotReport, UncertaintyTable? Uncertainty);

/// <summary>One line of an uncertainty budget.</summary>
/// <param name="Name">What contributes.</param>
/// <param name="Value">Expanded uncertainty, half-width or standard deviation, in <paramref name="Unit"/>.</param>
/// <param name="Unit">Unit of the value.</param>
/// <param name="Distribution">How to read it.</param>
/// <param name="StandardCelsius">Standard uncertainty that it brings to the result, °C.</param>
/// <param name="SharePercent">Its part of the combined variance, %.</param>
/// <param name="Source">Where the figure comes from.</param>
public sealed record UncertaintyRow(string Name, double Value, string Unit, ContributionDistribution Distribution, double StandardCelsius, double SharePercent, string Source);

/// <summary>The uncertainty budget of a point (JCGM 100:2008).</summary>
/// <param name="Rows">Its lines.</param>
/// <param name="CombinedCelsius">Combined standard uncertainty, °C.</param>
/// <param name="EffectiveDegreesOfFreedom">Effective degrees of freedom; null where nothing limits them.</param>
/// <param name="CoverageFactor">Coverage factor for 95 %.</param>
/// <param name="ExpandedCelsius">Expanded uncertainty, °C.</param>
/// <param name="LeftOut">What belongs in it and is not in it, a sentence each.</param>
/// <param name="Remarks">What a reader of the table must know.</param>
public sealed record UncertaintyTable(
    IReadOnlyList<UncertaintyRow> Rows,
    double CombinedCelsius,
    double? EffectiveDegreesOfFreedom,
    double CoverageFactor,
    double ExpandedCelsius,
    IReadOnlyList<string> LeftOut,
    IReadOnlyList<string> Remarks)
{
    /// <summary>The table of a budget.</summary>
    public static UncertaintyTable Of(PointUncertainty of)
    {
        ArgumentNullException.ThrowIfNull(of);
        var rows = of.Budget.Lines.Select(line => new UncertaintyRow(
            line.Contribution.Name, line.Contribution.Value, line.Contribution.Unit, line.Contribution.Distribution, line.Contribution.StandardCelsius, line.SharePercent, line.Contribution.Source));
        return new([.. rows], of.Budget.CombinedCelsius, of.Budget.EffectiveDegreesOfFreedom, of.Budget.CoverageFactor, of.Budget.ExpandedCelsius, [.. of.LeftOut.Select(one => one.Text)], of.Remarks);
    }
}

/// <summary>What a closed run may state.</summary>
/// <param name="Flash">About its flash point.</param>
/// <param name="Fire">About its fire point; null where the run determines none.</param>
public sealed record RunStatement(PointStatement Flash, PointStatement? Fire)
{
    /// <summary>The statement of a closed run, by the figures that were archived with it.</summary>
    public static RunStatement Of(RunResult result, RunPlan plan)
    {
        ArgumentNullException.ThrowIfNull(plan);
        return new(Of(result, plan, PointKind.Flash), plan.Method.FirePoint.Determined && !plan.Scouting ? Of(result, plan, PointKind.Fire) : null);
    }

    private static PointStatement Of(RunResult result, RunPlan plan, PointKind kind)
    {
        if (kind == PointKind.Flash && result.Equilibrium?.Statement is { } answer)
        {
            return new(answer, null, null);
        }

        if (!FlashPointBudget.TryMake(result, plan, kind, plan.Figures, out var uncertainty, out var errors))
        {
            return new(null, string.Join(" ", errors.Select(error => error.Message)), null);
        }

        // How determinations scatter is nearly always the largest part: a figure without it would pass for far more than it is.
        var scatterKnown = plan.Figures.Repeatability is not null || plan.Figures.TakeMethodRepeatability;
        return new(scatterKnown ? uncertainty.Statement : Bare(uncertainty), null, UncertaintyTable.Of(uncertainty));
    }

    private static string Bare(PointUncertainty of) => string.Create(CultureInfo.InvariantCulture,
        $"The {(of.Kind == PointKind.Flash ? "flash point" : "fire point")} is {of.Point.ReportedCelsius:0.##} °C. No uncertainty is stated, because it is not stated how repeated determinations scatter; the budget shows the parts that are known.");
}
