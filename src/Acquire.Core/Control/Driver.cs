using Acquire.Core.Alarms;
using Acquire.Core.Readings;
using Acquire.Core.Runs;

namespace Acquire.Core.Control;

/// <summary>Drives one run of a tester: from its readings, what the supervisor states and the passing of time to the commands it is sent.</summary>
/// <remarks>
/// Pure: two times come with the inputs. `nowSeconds` is the service's own monotonic clock, by which silence and heartbeats are
/// counted; a row carries the readings' own time, by which the ramp is held and the flame applied. The heater is off until a
/// named person turns it on, and off again with every trip. To be ticked at least five times a second for as long as it lives;
/// a command it gives back is to be sent at once. After the run it goes on commanding 0 until it is put away.
/// Not a safety device: see <see cref="HeaterGuard"/>.
/// </remarks>
public sealed partial class Driver
{
    private readonly RunPlan _plan;
    private readonly DriveSettings _settings;
    private readonly HeatingPlan? _heating;
    private readonly GuardLimits _rampLimits;
    private readonly Holding? _holding;
    private readonly ScoutingFlame? _scouting;
    private readonly GuardState _guard = HeaterGuard.Begin();
    private readonly FlameState _flame = FlameScheduler.Begin();
    private readonly RunAxis _axis = new();
    private readonly AnswerWatch _answers;
    private readonly Heartbeat _beat;
    private readonly HashSet<string> _told = [TripCodes.RunNotOpen];
    private IReadOnlyList<HeaterTrip> _tripsOf = [];
    private IReadOnlyList<HeaterTrip> _trips = [];
    private FlameRules? _flameRules;
    private RampState? _ramp;
    private double _now;
    private double _readAt = double.NegativeInfinity;
    private double _readNow;
    private double _closedAt = double.NaN;
    private bool _cooling;
    private bool _wasOn;

    private Driver(RunPlan plan, DriveSettings settings, long firstSequence, double nowSeconds, double heatedAtSeconds)
    {
        (_plan, _settings, _now) = (plan, settings, nowSeconds);
        if (plan.IsEquilibrium)
        {
            _holding = new(plan, settings);
            _rampLimits = _holding.Limits;
        }
        else
        {
            _heating = HeatingPlan.For(plan);
            _rampLimits = GuardLimits.For(plan, _heating, settings);
            _scouting = plan.Scouting ? new(plan, settings.ReactionSeconds) : null;
            _flameRules = plan.Scouting ? null : FlameRules.For(plan, settings.ReactionSeconds);
        }

        _answers = new(settings.LifetimeMilliseconds);
        _beat = Heartbeat.From(firstSequence, settings.LifetimeMilliseconds);
        HeaterGuard.RunOpened(_guard, nowSeconds);
        _guard.PowerAt = Math.Min(heatedAtSeconds, nowSeconds);
    }

    /// <summary>A run is open; the heater is off.</summary>
    /// <param name="plan">Its plan.</param>
    /// <param name="settings">How the tester is driven; checked.</param>
    /// <param name="firstSequence">Number of the first command, above every number that the tester has seen.</param>
    /// <param name="nowSeconds">The service's monotonic clock, s; finite.</param>
    /// <param name="heatedAtSeconds">When the tester's heater was last on, by that clock, s: its metal may still warm the cup. -∞ where it was not.</param>
    /// <exception cref="ArgumentException">Nothing says what to heat for: whoever accepted the order let it through.</exception>
    public static Driver Begin(RunPlan plan, DriveSettings settings, long firstSequence, double nowSeconds, double heatedAtSeconds = double.NegativeInfinity)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(settings);
        return new(plan, settings, firstSequence, nowSeconds, heatedAtSeconds);
    }

    /// <summary>A run was taken up again after the service had stopped: the heater is off until a person turns it on, whatever it was before.</summary>
    /// <param name="plan">Its plan.</param>
    /// <param name="settings">How the tester is driven; checked.</param>
    /// <param name="firstSequence">Number of the first command, above every number that the tester has seen.</param>
    /// <param name="nowSeconds">The service's monotonic clock, s; finite.</param>
    /// <param name="state">The run as its record ends.</param>
    /// <param name="facts">Its facts, in order.</param>
    /// <param name="rows">Its rows as they were judged, in order.</param>
    /// <exception cref="ArgumentException">Nothing says what to heat for.</exception>
    public static Driver TakeUp(RunPlan plan, DriveSettings settings, long firstSequence, double nowSeconds, RunState state, IReadOnlyList<RunOutput> facts, IEnumerable<ReadingRow> rows)
    {
        ArgumentNullException.ThrowIfNull(state);
        ArgumentNullException.ThrowIfNull(facts);
        ArgumentNullException.ThrowIfNull(rows);
        var driver = Begin(plan, settings, firstSequence, nowSeconds, facts.Any(fact => fact is HeaterTurnedOn) ? nowSeconds : double.NegativeInfinity);
        driver.TakeUp(state, facts, rows);
        return driver;
    }

    /// <summary>Whether the heater may be on.</summary>
    public bool IsOn => _guard.Armed;

    /// <summary>Who turned it on; null while it is off.</summary>
    public string? OnBy => _guard.Armed ? _guard.ArmedBy : null;

    /// <summary>Power commanded last, 0 to 1.</summary>
    public double AskedFraction => _beat.Sent?.HeaterFraction ?? 0;

    /// <summary>Power that the tester says it gives, 0 to 1; null where it has not said any lately.</summary>
    public double? GivenFraction => _answers.GivenFraction(_now);

    /// <summary>Whether the flame was commanded over the cup last.</summary>
    public bool FlameOver => _beat.Sent?.FlameOver ?? false;

    /// <summary>The heater is off above this reading, °C.</summary>
    public double HighestCelsius => Limits.HighestCelsius;

    /// <summary>Why the heater is off until a person turns it on, in the order in which it happened. That it was never turned on is no reason. The same list as long as nothing changes.</summary>
    public IReadOnlyList<HeaterTrip> Trips
    {
        get
        {
            if (_guard.Trips != _tripsOf)
            {
                _tripsOf = _guard.Trips;
                _trips = [.. _tripsOf.Where(trip => trip.Code != TripCodes.RunNotOpen)];
            }

            return _trips;
        }
    }

    /// <summary>When the heater was last on, by the service's clock, s; -∞ where it was not.</summary>
    public double HeatedAtSeconds => _guard.PowerAt;

    /// <summary>Number of the next command.</summary>
    public long NextSequence => _beat.NextSequence;

    /// <summary>Whether the run is over.</summary>
    public bool IsClosed => !double.IsNaN(_closedAt);

    /// <summary>Age of the newest command that the tester said it obeys, s; null before the first.</summary>
    public double? SecondsSinceAcknowledged(double nowSeconds) => _answers.SecondsSince(Math.Max(_now, nowSeconds));

    /// <summary>Takes a row, after the supervisor has.</summary>
    /// <param name="row">The readings as they were judged, on the run's axis.</param>
    /// <param name="nowSeconds">The service's clock, s.</param>
    /// <param name="facts">What happened to the heater is added to the end, for <see cref="RunSupervisor"/>.</param>
    /// <returns>The command to send now; null where none is due.</returns>
    public DriveCommand? Take(in ReadingRow row, double nowSeconds, List<HeaterFact> facts)
    {
        var now = Pass(nowSeconds);
        Answer(row, now);
        if (double.IsFinite(row.AtSeconds) && Math.Abs(row.AtSeconds) <= RunInput.FarthestSeconds)
        {
            Read(row, now);
        }

        return Emit(now, facts);
    }

    /// <summary>Time goes by.</summary>
    /// <param name="nowSeconds">The service's clock, s.</param>
    /// <param name="facts">What happened to the heater is added to the end, for <see cref="RunSupervisor"/>.</param>
    /// <returns>The command to send now; null where none is due.</returns>
    public DriveCommand? Tick(double nowSeconds, List<HeaterFact> facts) => Emit(Pass(nowSeconds), facts);

    /// <summary>Takes what the supervisor stated: that the specimen burns, that the result is complete, that the run is closed. To be followed by <see cref="Take"/> or <see cref="Tick"/>.</summary>
    public void Note(RunOutput output)
    {
        _holding?.Note(output);
        switch (output)
        {
            case AlarmRaised { Code: AlarmCodes.SpecimenBurning }:
                Burning(true);
                break;
            case AlarmCleared { Code: AlarmCodes.SpecimenBurning }:
                Burning(false);
                break;
            case TemperatureSet when _holding is not null:
                // What a block was kept at before says nothing about what is plausible now.
                FallWatch.Restart(_guard);
                if (_holding.TooHigh is { } why)
                {
                    HeaterGuard.Trip(_guard, TripCodes.SetTooHigh, _now, $"The heater is off: {why}. Stop the run; test what is left at another tester.");
                }

                break;
            case PortionCharged when _ramp is not null:
                HoldController.Charged(_ramp);
                FallWatch.Restart(_guard);
                break;
            case ApplicationStarted applied when _scouting is not null && _flame.Over:
                FlameScheduler.NextAfter(_flame, _scouting.After(applied.TemperatureCelsius));
                break;
            case PhaseChanged moved:
                _cooling = _holding is null && moved.To == RunPhase.Cooling;
                if (_holding is not null && moved.To == RunPhase.Cooling)
                {
                    Complete();
                }

                break;
            case FireDetected:
            case FlashDetected when _holding is null && !_plan.Rules.FirePoint.Determined:
                Complete();
                break;
            case RunClosed:
                Over();
                break;
        }
    }

    /// <summary>A person turns the heater on. Null where that worked; else why not.</summary>
    /// <param name="person">Who answers for it; not empty.</param>
    /// <param name="nowSeconds">The service's clock, s.</param>
    /// <param name="facts">What happened to the heater is added to the end, for <see cref="RunSupervisor"/>.</param>
    public InputError? TurnOn(string person, double nowSeconds, List<HeaterFact> facts)
    {
        ArgumentNullException.ThrowIfNull(facts);
        var now = Pass(nowSeconds);
        if (_guard.Armed)
        {
            return null;
        }

        if (_answers.Standing(now) is { } standing)
        {
            return new("heater", standing);
        }

        if (_holding?.TooHigh is { } tooHigh)
        {
            return new("heater", tooHigh);
        }

        if (HeaterGuard.Rearm(_guard, Limits, now, person) is { } refused)
        {
            return refused;
        }

        _answers.Restart();
        _ramp ??= RampController.Begin(_settings.Heater);
        _told.Clear();
        _wasOn = true;
        facts.Add(new HeaterTurnedOn(_axis.At(now), null, person));
        return null;
    }

    /// <summary>A person turns the heater off. Always works.</summary>
    /// <param name="nowSeconds">The service's clock, s.</param>
    /// <param name="facts">What happened to the heater is added to the end, for <see cref="RunSupervisor"/>.</param>
    /// <param name="person">Who, for the record; null where nobody said.</param>
    /// <returns>The command to send now; null where none is due.</returns>
    public DriveCommand? TurnOff(double nowSeconds, List<HeaterFact> facts, string? person = null)
    {
        var now = Pass(nowSeconds);
        HeaterGuard.Stop(_guard, now, person);
        return Emit(now, facts);
    }

    /// <summary>Something in the program failed.</summary>
    /// <param name="what">What failed, a few words for a person.</param>
    /// <param name="nowSeconds">The service's clock, s.</param>
    /// <param name="facts">What happened to the heater is added to the end, for <see cref="RunSupervisor"/>.</param>
    public DriveCommand? Fault(string what, double nowSeconds, List<HeaterFact> facts)
    {
        var now = Pass(nowSeconds);
        HeaterGuard.Fault(_guard, now, what);
        return Emit(now, facts);
    }

    /// <summary>The connection to the tester was lost, however shortly: a heater that was on stays off until a person turns it on.</summary>
    /// <inheritdoc cref="Tick"/>
    public DriveCommand? ConnectionLost(double nowSeconds, List<HeaterFact> facts)
    {
        var now = Pass(nowSeconds);
        if (_guard.Armed)
        {
            HeaterGuard.Trip(_guard, TripCodes.NotAcknowledged, now, "The connection to the tester was lost while the heater was on. Heat does not come back by itself. Check the wire before a person turns the heater on again.");
        }

        return Emit(now, facts);
    }

    /// <summary>The service is ending.</summary>
    /// <inheritdoc cref="Tick"/>
    public DriveCommand? ServiceStopping(double nowSeconds, List<HeaterFact> facts)
    {
        var now = Pass(nowSeconds);
        HeaterGuard.ServiceStopping(_guard, now);
        return Emit(now, facts);
    }

    /// <summary>The run ends, or is about to. Nothing heats after it.</summary>
    /// <inheritdoc cref="Tick"/>
    public DriveCommand? Close(double nowSeconds, List<HeaterFact> facts)
    {
        var now = Pass(nowSeconds);
        Over();
        return Emit(now, facts);
    }

    private void Complete()
    {
        HeaterGuard.Completed(_guard, _now);
        StopFlame();
    }

    private void Over()
    {
        _closedAt = IsClosed ? _closedAt : _now;
        HeaterGuard.RunClosed(_guard, _now);
        StopFlame();
    }

    // The guard hears of every clock that is none; everything else goes on with the newest time that was one.
    private double Pass(double nowSeconds)
    {
        HeaterGuard.Tick(_guard, Limits, nowSeconds);
        _now = double.IsFinite(nowSeconds) && Math.Abs(nowSeconds) <= RunInput.FarthestSeconds ? Math.Max(_now, nowSeconds) : _now;
        return _now;
    }

    private DriveCommand? Emit(double now, List<HeaterFact> facts)
    {
        ArgumentNullException.ThrowIfNull(facts);
        _answers.Look(_guard, now);
        if (_cooling)
        {
            FallWatch.Cooling(_guard);
        }

        var heater = HeaterGuard.Decide(_guard, Limits, now, _ramp?.Command ?? 0);
        var at = _axis.At(now);
        MoveFlame(at);
        _answers.Passed(_flame.Made);
        Tell(at, facts);
        var command = _beat.Beat(now, heater, FlameIsOver, Stirs);
        if (command is not null)
        {
            _answers.Sent(command, now);
        }

        return command;
    }

    private void Tell(double at, List<HeaterFact> facts)
    {
        foreach (var trip in _guard.Trips)
        {
            // Of a heater that is off already only what a person has to know is told.
            if (_told.Add(trip.Code) && (_wasOn || trip.Code == TripCodes.OperatorStop || !TripCodes.IsOrdinary(trip.Code)))
            {
                facts.Add(new HeaterCut(at, null, trip.Code, trip.Sentence, _wasOn));
                _wasOn = false;
            }
        }

        _wasOn = _guard.Armed;
    }
}
