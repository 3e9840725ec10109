using System.Globalization;
using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Core.Thermometry;
using Acquire.Service.Archive;
using Acquire.Service.Lanes.Archiving;
using Acquire.Service.Live;

namespace Acquire.Service.Lanes;

/// <summary>Judges one row; what it states is appended to the facts.</summary>
internal delegate void RowJudge(RunState state, RunPlan plan, in ReadingRow row, List<RunOutput> facts);

/// <summary>A run that is being made: puts rows on the run's axis, has the supervisor judge them, and hands both over to the journal.</summary>
internal sealed partial class OpenRun
{
    // A nanosecond, or a microsecond for a clock that counts from 1970: takes away what subtracting the start leaves in the last digits, and is far below any channel's own time step.
    private const int AxisDecimals = 9;
    private const int FarAxisDecimals = 6;
    private const double FarSeconds = 1e6;

    private readonly RowJudge _judge;
    private readonly ThermometerReader _thermometer;
    private RunState _state;
    private readonly List<ReadingRow> _rows = [];
    private readonly List<RunOutput> _facts = [];
    private double? _startSeconds;
    private double _newestSeconds;
    private RunResult? _result;
    private AxisBegun? _begun;

    /// <param name="header">What was booked in.</param>
    /// <param name="judge">Who judges the rows: the supervisor, unless something else is given.</param>
    /// <param name="resumed">How many times it was taken up again.</param>
    public OpenRun(RunHeader header, RowJudge? judge = null, int resumed = 0)
    {
        _judge = judge ?? RunSupervisor.Step;
        Header = header;
        _thermometer = new(header.Plan.Thermometer, header.Plan.IsEquilibrium);
        _state = RunSupervisor.Begin(header.Plan);
        Timeline = new(new(
            header.Id, header.TesterId, header.Plan.Method.Id, header.Specimen, header.Plan.ExpectedFlashCelsius,
            header.StartedAt, ClosedAt: null, ArchivedRows: 0, Interrupted: false, Result: null, header.Plan.Scouting, header.Plan.SpecificationCelsius, Resumed: resumed));
    }

    /// <summary>What was booked in.</summary>
    public RunHeader Header { get; }

    /// <summary>Where its curve and events become visible once they are archived.</summary>
    public RunTimeline Timeline { get; }

    /// <summary>Whether a row has come.</summary>
    public bool HasRows => _startSeconds is not null;

    /// <summary>Whether the supervisor has stated the close.</summary>
    public bool Closed => _result is not null;

    /// <summary>Why the run is no longer judged; null while it is. Its rows are archived all the same, so it can be judged later.</summary>
    public Exception? JudgingFailure { get; private set; }

    /// <summary>Whether the failure was alarmed.</summary>
    public bool FailureReported { get; set; }

    /// <summary>Says of the first row where it lies on the axis that it came with, so that the run can be taken up again; null where nobody does.</summary>
    public Func<double, AxisBegun>? Begins { get; set; }

    /// <summary>Told each fact that the supervisor states; null where nobody listens.</summary>
    public Action<RunOutput>? Stated { get; set; }

    /// <summary>A time of the tester on the run's axis, s.</summary>
    internal static double OnAxis(double atSeconds, double startSeconds) => Math.Round(atSeconds - startSeconds, startSeconds < FarSeconds ? AxisDecimals : FarAxisDecimals);

    /// <summary>Takes one row of the tester's own time axis, as it came.</summary>
    /// <returns>The row on the run's axis, with its temperature and marks.</returns>
    public ReadingRow Take(in ReadingRow row)
    {
        if (_startSeconds is null)
        {
            _startSeconds = row.AtSeconds;
            _begun = Begins?.Invoke(row.AtSeconds);
        }

        _newestSeconds = _startSeconds == 0 ? row.AtSeconds : OnAxis(row.AtSeconds, _startSeconds.Value);
        var read = Read(row with { AtSeconds = _newestSeconds });
        _rows.Add(read);
        Judge(read);
        return read;
    }

    /// <summary>Takes a row that came behind newer ones, for the record: the rules keep it out and count it. One from before the run is none of it.</summary>
    public void TakeLate(in ReadingRow row)
    {
        if (_startSeconds is not { } start || row.AtSeconds < start)
        {
            return;
        }

        var read = Read(row with { AtSeconds = OnAxis(row.AtSeconds, start) });
        _rows.Add(read);
        Judge(read);
    }

    /// <summary>Ends the run at its newest row.</summary>
    public void Stop() => Judge(null, RunInput.Stop(_newestSeconds));

    /// <summary>Why the run cannot take what a person saw, for that person; null where it can.</summary>
    public string? WhyNotObserve() =>
        AwaitsRow ? NoRowYet
        : !Header.Plan.IsGuided ? $"run {Header.Id} is judged by its detector, not by a person; guided runs are made by testers of the mode \"guided\""
        : !HasRows || Status() is { TemperatureCelsius: null } ? $"run {Header.Id} has no temperature yet; what was seen would stand nowhere"
        : null;

    /// <summary>Takes what a person saw.</summary>
    /// <param name="secondsSinceRow">Time since the newest row came, s: by it the observation lies after that row, on the run's axis.</param>
    /// <param name="seen">What it was.</param>
    /// <param name="person">Who it was; null where nobody said.</param>
    public void Observe(double secondsSinceRow, Sighting seen, string? person)
    {
        var at = _newestSeconds + secondsSinceRow;
        if (JudgingFailure is null)
        {
            Judge(null, RunInput.Observation(at, seen, person));
        }
        else
        {
            // Nobody judges any more; the record is still kept whole.
            _facts.Add(new ObservationMade(at, _newestSeconds, seen, person));
        }
    }

    /// <summary>Why the run cannot take a test portion, for whoever charged it; null where it can.</summary>
    public string? WhyNotCharge() =>
        AwaitsRow ? NoRowYet
        : !Header.Plan.IsEquilibrium ? $"run {Header.Id} heats one test portion along a ramp; portions are charged one after the other in equilibrium procedures only"
        : !HasRows || Status() is { TemperatureCelsius: null } ? $"run {Header.Id} has no temperature yet; what was charged would stand nowhere"
        : null;

    /// <summary>Takes that a fresh test portion was charged.</summary>
    /// <param name="secondsSinceRow">Time since the newest row came, s.</param>
    /// <param name="millilitres">Its volume, mL; null where nobody said.</param>
    /// <param name="person">Who charged it; null where nobody said.</param>
    public void Charge(double secondsSinceRow, double? millilitres, string? person)
    {
        var at = _newestSeconds + secondsSinceRow;
        if (JudgingFailure is null)
        {
            Judge(null, RunInput.Portion(at, millilitres, person));
        }
        else
        {
            _facts.Add(new PortionCharged(at, _newestSeconds, millilitres, person));
        }
    }

    /// <summary>Why the newest observation cannot be taken back, for whoever wants to; null where it can.</summary>
    /// <param name="atSeconds">When the observation that is meant was made, s; null for the newest, whichever it is.</param>
    /// <param name="secondsSinceRow">Time since the newest row came, s.</param>
    public string? WhyNotWithdraw(double? atSeconds, double secondsSinceRow)
    {
        if (!Header.Plan.IsGuided)
        {
            return $"run {Header.Id} is judged by its detector, not by a person: there is nothing to take back";
        }

        if (AwaitsRow)
        {
            return NoRowYet;
        }

        if (Status() is not { } status)
        {
            return "the program failed while judging this run: nothing can be taken back in it. Note the wrong key beside the run's id; its record can be judged again";
        }

        if (status.WithdrawableAtSeconds is not { } made || Math.Max(status.AtSeconds, _newestSeconds + secondsSinceRow) - made > ObservationWithdrawn.LongestSeconds)
        {
            return string.Create(CultureInfo.InvariantCulture, $"there is nothing to take back: only the newest observation can be, once, and for {ObservationWithdrawn.LongestSeconds} s. Note the wrong key beside the run's id");
        }

        return atSeconds is { } meant && meant != made
            ? string.Create(CultureInfo.InvariantCulture, $"the newest observation is '{PersonEntryWords.Word(status.WithdrawableSighting!.Value)}' at {made} s, not the one that was to be taken back")
            : null;
    }

    /// <summary>Takes the newest observation back.</summary>
    /// <param name="secondsSinceRow">Time since the newest row came, s.</param>
    /// <param name="person">Who takes it back; null where nobody said.</param>
    public void Withdraw(double secondsSinceRow, string? person) => Judge(null, RunInput.Withdrawal(_newestSeconds + secondsSinceRow, person));

    /// <summary>Takes what happened to the heater.</summary>
    public void Heater(HeaterFact fact)
    {
        if (JudgingFailure is null)
        {
            Judge(null, fact: fact);
        }
        else
        {
            // Nobody judges any more; the record is still kept whole.
            _facts.Add(fact with { AtSeconds = _newestSeconds, ReadingSeconds = _newestSeconds });
        }
    }

    /// <summary>Puts into the record that something happened beside the run, which no rule judges.</summary>
    /// <param name="code">Stable code.</param>
    /// <param name="text">What happened.</param>
    public void Note(string code, string text)
    {
        // It happened at one moment: it does not go on standing.
        _facts.Add(new AlarmRaised(_newestSeconds, code, text));
        _facts.Add(new AlarmCleared(_newestSeconds, code));
    }

    /// <summary>What a person wants to see now; null once the run is no longer judged.</summary>
    public RunStatus? Status() => JudgingFailure is null ? RunSupervisor.Status(_state, Header.Plan) : null;

    /// <summary>Hands over what has come since the last time, rows first.</summary>
    /// <param name="journal">Where to.</param>
    /// <param name="askedBy">The command that waits for the facts to be archived; null where none does.</param>
    public void HandOver(LaneJournal journal, LaneCommand? askedBy = null)
    {
        if (_begun is not null)
        {
            // Before the rows: a record with rows always says what their time is counted from.
            journal.Add(new FactsStated(Timeline, [_begun]));
            _begun = null;
        }

        if (_rows.Count > 0)
        {
            journal.Add(new RowsCame(Timeline, _rows.ToArray()));
            _rows.Clear();
        }

        if (_facts.Count > 0)
        {
            journal.Add(new FactsStated(Timeline, _facts.ToArray()) { AskedBy = askedBy });
            _facts.Clear();
        }
    }

    /// <summary>Hands over the rest, and the end: the result, or why there is none.</summary>
    public void HandOverEnd(LaneJournal journal, DateTimeOffset now, LaneCommand? askedBy, string? why = null)
    {
        HandOver(journal);
        if (_result is { } result)
        {
            journal.Add(new RunEnds(Timeline, now, result) { AskedBy = askedBy });
            return;
        }

        why ??= "The program failed while judging this run, so it has no result. Its readings are archived; the run can be judged again from them.";
        journal.Add(new RunGivenUp(Timeline, now, new(_newestSeconds, why)) { AskedBy = askedBy });
    }

    // As with the rules below: whatever fails here, the row as it came goes into the archive.
    private ReadingRow Read(in ReadingRow placed)
    {
        try
        {
            return _thermometer.Take(placed);
        }
        catch (Exception exception)
        {
            JudgingFailure ??= exception;
            return placed;
        }
    }

    // A bug in a rule must not cost the record: the rows go on into the archive, and the run can be judged again from them.
    private void Judge(ReadingRow? row, RunInput other = default, RunOutput? fact = null)
    {
        if (JudgingFailure is not null)
        {
            return;
        }

        var before = _facts.Count;
        try
        {
            if (row is { } placed)
            {
                _judge(_state, Header.Plan, placed, _facts);
            }
            else if (fact is RecordFact recorded)
            {
                RunSupervisor.Step(_state, Header.Plan, recorded, _facts);
            }
            else if (fact is HeaterFact happened)
            {
                RunSupervisor.Step(_state, Header.Plan, happened, _facts);
            }
            else
            {
                RunSupervisor.Step(_state, Header.Plan, other, _facts);
            }
        }
        catch (Exception exception)
        {
            JudgingFailure = exception;
            return;
        }

        for (var index = before; index < _facts.Count; index++)
        {
            _result = _facts[index] is RunClosed closed ? closed.Result : _result;
            Stated?.Invoke(_facts[index]);
        }
    }
}
