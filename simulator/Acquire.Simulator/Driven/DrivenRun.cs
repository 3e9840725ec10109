using Acquire.Core.Control;
using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Core.Thermometry;

namespace Acquire.Simulator;

/// <summary>One determination on a driven tester: plan, supervisor and driver as in the service, tester and wire simulated.</summary>
public sealed class DrivenRun
{
    /// <summary>Who turns the heater on.</summary>
    public const string Person = "the simulated analyst";

    // A person gives up: no method needs longer, and few searches. What the heater does when all is over is watched for a while.
    private const double LongestSeconds = 4 * 3600, WatchedSeconds = 10;

    private readonly DrivenRunOptions options;
    private readonly DrivenTester tester;
    private readonly Driver driver;
    private readonly RunState state;
    private readonly ThermometerReader thermometer;
    private readonly Queue<(double AtSeconds, ReadingRow Row)> readingsUnderWay = new();
    private readonly Queue<(double AtSeconds, DriveCommand Command)> commandsUnderWay = new();
    private readonly List<ReadingRow> rows = [];
    private readonly List<RunOutput> facts = [];
    private readonly HeldRate rate;
    private readonly HeldTemperatures.Follower block = new();
    private readonly PortionPerson? person;
    private double turnedOnSeconds = double.NaN;
    private double offSeconds = double.NaN;
    private double closedSeconds = double.NaN;
    private double newestSeconds;

    private DrivenRun(DrivenRunOptions options)
    {
        this.options = options;
        var run = options.Tester.Run;
        tester = new(options.Tester);
        Plan = run.Aim.Plan(run.Method) with
        {
            StationPressureKilopascals = run.StationPressureKilopascals,
            Mode = RunMode.Driven,
            HasFlameSignal = true,
            Thermometer = run.Thermometer.Chain,
        };
        driver = Driver.Begin(Plan, options.Settings, firstSequence: 1, nowSeconds: 0);
        state = RunSupervisor.Begin(Plan);
        thermometer = new(Plan.Thermometer, Plan.IsEquilibrium);
        rate = new();
        person = Plan.IsEquilibrium ? new(new(run.Seed, RandomPurpose.Analyst)) : null;
    }

    /// <summary>What was fixed before heating.</summary>
    public RunPlan Plan { get; }

    /// <summary>All rows as the tester sent them.</summary>
    public IReadOnlyList<ReadingRow> Rows => rows;

    /// <summary>Everything that was stated, in order.</summary>
    public IReadOnlyList<RunOutput> Facts => facts;

    /// <summary>What the run says.</summary>
    public RunResult Result => state.Result!;

    /// <summary>What really happened at the cup.</summary>
    public SimulatedTruth Truth => tester.Cup.Truth();

    /// <summary>What came of driving it.</summary>
    public DriveFigures Figures { get; private set; } = null!;

    /// <summary>Plays the run to its end.</summary>
    /// <exception cref="ArgumentException">An option is out of range; <see cref="DrivenRunOptions.Check"/> says which without throwing.</exception>
    public static DrivenRun Play(DrivenRunOptions options)
    {
        ArgumentNullException.ThrowIfNull(options);
        var errors = options.Check();
        if (errors.Count > 0)
        {
            throw new ArgumentException(string.Join("; ", errors), nameof(options));
        }

        var run = new DrivenRun(options);
        for (var step = 1; !run.Step(step / options.Tester.Run.RowsPerSecond); step++)
        {
        }

        run.Finish();
        return run;
    }

    /// <summary>One reading's length of time. True when the run is over.</summary>
    private bool Step(double seconds)
    {
        while (commandsUnderWay.TryPeek(out var command) && command.AtSeconds <= seconds)
        {
            Move(command.AtSeconds);
            tester.Receive(commandsUnderWay.Dequeue().Command, command.AtSeconds);
        }

        Move(seconds);
        while (readingsUnderWay.TryPeek(out var reading) && reading.AtSeconds <= seconds)
        {
            Hear(readingsUnderWay.Dequeue().Row, seconds);
        }

        Charge(seconds);
        Tell(driver.Tick(seconds, Heater), seconds);
        TurnOn(seconds);
        return IsOver(seconds);
    }

    private void Move(double seconds)
    {
        foreach (var row in tester.Advance(seconds, seconds))
        {
            rows.Add(row);
            readingsUnderWay.Enqueue((row.AtSeconds + options.WireSeconds, row));
        }
    }

    private void Hear(in ReadingRow sent, double seconds)
    {
        var row = thermometer.Take(sent);
        newestSeconds = row.AtSeconds;
        var before = facts.Count;
        RunSupervisor.Step(state, Plan, row, facts);
        Note(before);
        rate.Take(row);
        block.Take(row);
        Tell(driver.Take(row, seconds, Heater), seconds);
    }

    private void Note(int from)
    {
        for (; from < facts.Count; from++)
        {
            driver.Note(facts[from]);
            rate.Note(facts[from]);
            block.Note(facts[from]);
        }
    }

    private void Charge(double seconds)
    {
        if (person?.Step(seconds, RunSupervisor.Status(state, Plan), tester.Cup) is { } millilitres)
        {
            var before = facts.Count;
            RunSupervisor.Step(state, Plan, RunInput.Portion(Math.Max(newestSeconds, seconds - options.WireSeconds), millilitres, Person), facts);
            Note(before);
        }
    }

    private List<HeaterFact> Heater { get; } = [];

    private void Tell(DriveCommand? command, double seconds)
    {
        foreach (var fact in Heater)
        {
            RunSupervisor.Step(state, Plan, fact, facts);
            rate.Note(fact);
        }

        Heater.Clear();
        if (command is not null)
        {
            commandsUnderWay.Enqueue((seconds + options.WireSeconds, command));
        }
    }

    private void TurnOn(double seconds)
    {
        if (!double.IsNaN(turnedOnSeconds) || seconds < options.Tester.Run.LeadInSeconds)
        {
            return;
        }

        // Refused: a person looks, and tries again for a while.
        if (driver.TurnOn(Person, seconds, Heater) is null || seconds > options.Tester.Run.LeadInSeconds + 60)
        {
            turnedOnSeconds = seconds;
        }
    }

    private bool IsOver(double seconds)
    {
        offSeconds = driver.IsOn || double.IsNaN(turnedOnSeconds) ? double.NaN : double.IsNaN(offSeconds) ? seconds : offSeconds;
        closedSeconds = state.Phase == RunPhase.Closed && double.IsNaN(closedSeconds) ? seconds : closedSeconds;
        return seconds - closedSeconds > WatchedSeconds || seconds - offSeconds > options.Tester.Run.CoolingSeconds || seconds > LongestSeconds;
    }

    private void Finish()
    {
        if (state.Phase != RunPhase.Closed)
        {
            RunSupervisor.Step(state, Plan, RunInput.Stop(state.AtSeconds), facts);
        }

        Figures = new()
        {
            TargetCelsiusPerMinute = Plan.IsEquilibrium ? 0 : HeatingPlan.For(Plan).Segments[^1].TargetCelsiusPerMinute,
            Band = Plan.IsEquilibrium ? null : Plan.Rules.Ramp.ControlledHeatingCelsiusPerMinute,
            Kept = Plan.IsEquilibrium ? block.Kept : null,
            Held = rate.Held,
            Applied = rate.Applied,
            Cuts = [.. facts.OfType<HeaterCut>()],
            Trips = driver.Trips,
            TurnedOn = facts.OfType<HeaterTurnedOn>().Any(),
            Applications = Result.Applications.Count,
            HighestSpecimenCelsius = tester.Cup.HighestSpecimenCelsius,
        };
    }
}
