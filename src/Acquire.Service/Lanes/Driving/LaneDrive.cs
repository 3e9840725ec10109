using Acquire.Core;
using Acquire.Core.Control;
using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Service.Lanes.Watching;
using Acquire.Service.Live;

namespace Acquire.Service.Lanes.Driving;

/// <summary>Drives one tester for its lane: gives time and rows to the <see cref="Driver"/> of the run, its commands to the wire, its trips to the alarms.</summary>
/// <remarks>Owned by the lane's loop but for <see cref="AskOff"/> and <see cref="Overview"/>. Whatever fails in the driver ends in heater off.</remarks>
internal sealed partial class LaneDrive
{
    private readonly string _testerId;
    private readonly DriveSettings _settings;
    private readonly LaneAlarms _alarms;
    private readonly TimeProvider _time;
    private readonly ILogger _logger;
    private readonly long _opened;
    private readonly List<HeaterFact> _facts = [];
    private Driver? _driver;
    private HeaterCut? _broken;
    private long _nextSequence;
    private long _connectionsLost;
    private double? _startSeconds;
    private IReadOnlyList<HeaterTrip> _seen = [];
    private IReadOnlyList<DriveTrip> _trips = [];
    private volatile OffAsked? _offAsked;
    private volatile DriveOverview _overview;

    public LaneDrive(string testerId, DriveSettings settings, LaneAlarms alarms, TimeProvider time, ILogger logger)
    {
        (_testerId, _settings, _alarms, _time, _logger) = (testerId, settings, alarms, time, logger);
        _opened = time.GetTimestamp();
        Outlet = new(time);
        _overview = new(false, null, 0, null, false, null, settings.HighestCelsius, []);
    }

    /// <summary>Where the source takes the commands.</summary>
    public DriveOutlet Outlet { get; }

    /// <summary>How the tester is commanded now.</summary>
    public DriveOverview Overview => _overview;

    /// <summary>How often the lane must let time pass: often enough for three commands within a lifetime, and for the flame.</summary>
    public TimeSpan TickPeriod => TimeSpan.FromSeconds(Heartbeat.LongestTickSeconds(_settings.LifetimeMilliseconds));

    private double Now => _time.GetElapsedTime(_opened).TotalSeconds;

    /// <summary>A run is open: its driver begins, with the heater off. What was tripped before is acknowledged by it.</summary>
    public void Begin(RunPlan plan)
    {
        Renew();
        var heatedAt = _driver?.HeatedAtSeconds ?? double.NegativeInfinity;
        (_startSeconds, _driver) = (null, null);
        Make(() => Driver.Begin(plan, _settings, _nextSequence, Now, heatedAt));
        Tick();
    }

    /// <summary>A run goes on after the service had stopped: its heater is commanded off, and stays off until a person turns it on.</summary>
    /// <param name="plan">Its plan.</param>
    /// <param name="state">The run as its record ends.</param>
    /// <param name="facts">Its facts.</param>
    /// <param name="rows">Its rows.</param>
    /// <inheritdoc cref="Take"/>
    public IReadOnlyList<HeaterFact> TakeUp(RunPlan plan, RunState state, IReadOnlyList<RunOutput> facts, IReadOnlyList<ReadingRow> rows)
    {
        Make(() => Driver.TakeUp(plan, _settings, _nextSequence, Now, state, facts, rows));
        return Tick();
    }

    /// <summary>Where the axis of a run that goes on begins, on the tester's own, s.</summary>
    public void Begins(double startSeconds) => _startSeconds = startSeconds;

    private void Make(Func<Driver> make)
    {
        // Above all that an earlier run, or an earlier life of the service, has sent.
        _nextSequence = Math.Max(_nextSequence, _time.GetUtcNow().ToUnixTimeMilliseconds());
        try
        {
            _driver = make();
        }
        catch (Exception exception)
        {
            Broken(exception);
        }
    }

    /// <summary>The supervisor stated something about the run. To be followed by a row or a tick.</summary>
    public void Note(RunOutput output)
    {
        try
        {
            _driver?.Note(output);
        }
        catch (Exception exception)
        {
            Broken(exception);
        }
    }

    /// <summary>Takes a row as it was judged, on the tester's own axis.</summary>
    /// <returns>What happened to the heater; valid until the next call.</returns>
    public IReadOnlyList<HeaterFact> Take(ReadingRow row, double testerSeconds)
    {
        _startSeconds ??= testerSeconds;
        row = row with { AtSeconds = testerSeconds - _startSeconds.Value };
        return Do((driver, now) => driver.Take(row, now, _facts));
    }

    /// <summary>Time passes.</summary>
    /// <inheritdoc cref="Take"/>
    public IReadOnlyList<HeaterFact> Tick() => Do((driver, now) => driver.Tick(now, _facts));

    /// <summary>Time passes.</summary>
    /// <param name="connectionsLost">How many times the connection to the tester was lost so far.</param>
    /// <inheritdoc cref="Take"/>
    public IReadOnlyList<HeaterFact> Tick(long connectionsLost)
    {
        var lost = connectionsLost > _connectionsLost;
        _connectionsLost = connectionsLost;
        return lost ? Do((driver, now) => driver.ConnectionLost(now, _facts)) : Tick();
    }

    /// <summary>A person turns the heater on.</summary>
    /// <param name="person">Who answers for it.</param>
    /// <param name="refused">Why not; null where it is on.</param>
    /// <inheritdoc cref="Take"/>
    public IReadOnlyList<HeaterFact> TurnOn(string person, out InputError? refused)
    {
        InputError? reason = new("heater", "the program failed in this run; start a new one");
        Do((driver, now) =>
        {
            reason = driver.TurnOn(person, now, _facts);
            return driver.Tick(now, _facts);
        });
        refused = reason;
        if (refused is null)
        {
            Renew();
        }

        return _facts;
    }

    /// <summary>A person turns the heater off: heard before anything else that waits for the lane.</summary>
    /// <param name="person">Who; null where nobody said.</param>
    public void AskOff(string? person) => _offAsked = new(person);

    /// <summary>A person turned the heater off.</summary>
    /// <param name="person">Who; null where nobody said.</param>
    /// <inheritdoc cref="Take"/>
    public IReadOnlyList<HeaterFact> TurnOff(string? person)
    {
        _offAsked = null;
        return Do((driver, now) => driver.TurnOff(now, _facts, person));
    }

    /// <summary>Something in the program failed.</summary>
    /// <inheritdoc cref="Take"/>
    public IReadOnlyList<HeaterFact> Fault(string what) => Do((driver, now) => driver.Fault(what, now, _facts));

    /// <summary>The run ends, or is about to.</summary>
    /// <inheritdoc cref="Take"/>
    public IReadOnlyList<HeaterFact> Close() => Do((driver, now) => driver.Close(now, _facts));

    /// <summary>The service is ending.</summary>
    /// <inheritdoc cref="Take"/>
    public IReadOnlyList<HeaterFact> Stopping() => Do((driver, now) => driver.ServiceStopping(now, _facts));

    private List<HeaterFact> Do(Func<Driver, double, DriveCommand?> step)
    {
        _facts.Clear();
        TellBroken();
        if (_driver is not { } driver)
        {
            return _facts;
        }

        try
        {
            if (_offAsked is { } off)
            {
                _offAsked = null;
                Post(driver.TurnOff(Now, _facts, off.Person));
            }

            Post(step(driver, Now));
            _nextSequence = driver.NextSequence;
            Show(driver);
        }
        catch (Exception exception)
        {
            Broken(exception);
            TellBroken();
        }

        return _facts;
    }

    private void TellBroken()
    {
        if (_broken is { } cut)
        {
            _broken = null;
            _facts.Add(cut);
        }
    }

    private void Post(DriveCommand? command)
    {
        if (command is not null)
        {
            Outlet.Post(command);
        }
    }

    private void Show(Driver driver)
    {
        if (driver.Trips != _seen)
        {
            _seen = driver.Trips;
            _trips = [.. _seen.Select(trip => _trips.FirstOrDefault(known => known.Code == trip.Code) ?? new(trip.Code, trip.Text, _time.GetUtcNow()))];
            foreach (var trip in _trips.Where(trip => !TripCodes.IsOrdinary(trip.Code)))
            {
                _alarms.Raise(AlarmOrigin.Heater, trip.Code, trip.Text);
            }
        }

        _overview = new(driver.IsOn, driver.OnBy, driver.AskedFraction, driver.GivenFraction, driver.FlameOver, driver.SecondsSinceAcknowledged(Now), driver.HighestCelsius, _trips);
    }

    private void Renew()
    {
        _alarms.End(AlarmOrigin.Heater);
        _trips = [];
        _overview = _overview with { Trips = [] };
    }

    // The driver is not asked again: what it is must be taken for wrong. The tester is told 0 once more and cuts the rest by itself.
    private void Broken(Exception exception)
    {
        var trip = new HeaterTrip(TripCodes.ProgramFault, Now, $"The heater is off because the program failed. Report the log. {HeaterTrip.Caution}");
        Log.Broken(_logger, exception, _testerId);
        _nextSequence = Math.Max(_nextSequence, _driver?.NextSequence ?? 0);
        Outlet.Post(new(_nextSequence++, _settings.LifetimeMilliseconds, 0, false, false));
        _broken = new(0, null, trip.Code, trip.Sentence, _driver?.IsOn ?? false);
        _driver = null;
        _seen = [trip];
        _trips = [new(trip.Code, trip.Text, _time.GetUtcNow())];
        _alarms.Raise(AlarmOrigin.Heater, trip.Code, trip.Text);
        _overview = _overview with { On = false, OnBy = null, AskedFraction = 0, FlameOver = false, Trips = _trips };
    }

    private sealed record OffAsked(string? Person);

    private static partial class Log
    {
        [LoggerMessage(1040, LogLevel.Critical, "Tester {TesterId}: the program failed while driving it; the heater is off")]
        public static partial void Broken(ILogger logger, Exception exception, string testerId);
    }
}
