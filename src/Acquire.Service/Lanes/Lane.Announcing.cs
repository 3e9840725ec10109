using Acquire.Core.Runs;
using Acquire.Service.Lanes.Archiving;
using Acquire.Service.Lanes.Watching;
using Acquire.Service.Live;

namespace Acquire.Service.Lanes;

public sealed partial class Lane
{
    private RunTimeline? _announced;
    private RunStatus? _shown;
    private Seen? _seen;
    private long? _clockJumped;
    private readonly List<(LaneCommand Command, RunTimeline Run)> _done = [];

    /// <summary>Announces what was archived, has the next things archived, and shows how things stand.</summary>
    private void Settle()
    {
        _journal.Pump();
        while (_journal.Collect(out var archived))
        {
            foreach (var entry in archived)
            {
                Announce(entry);
            }

            ShowFailure();
            _journal.Pump();
        }

        Publish();

        // Whoever asked finds the overview already as the answer says.
        foreach (var (command, run) in _done)
        {
            command.Answer.TrySetResult(new(CommandOutcome.Done, Summary(run), null));
        }

        _done.Clear();
    }

    private void ShowFailure()
    {
        if (_journal.Failure is { } failure)
        {
            const string CannotWrite = "The archive cannot be written";
            var why = failure.Message.StartsWith(CannotWrite, StringComparison.Ordinal) ? failure.Message : $"{CannotWrite}: {failure.Message}";
            var trouble = $"{why} What comes in waits in memory and is lost if the service ends now. Check the disk.";
            if (ArchiveTrouble is null)
            {
                Log.ArchiveFailed(_logger, failure, TesterId);
            }

            _alarms.Raise(AlarmOrigin.Tester, ServiceAlarmCodes.ArchiveFailed, trouble);
            RefuseAsked(trouble);
        }
    }

    // The archive takes rows into its own queue before it writes them: only it can tell that a disk has been failing since.
    private void LookAtArchive()
    {
        var trouble = _archive.Trouble();
        if (trouble is not null)
        {
            _alarms.Raise(AlarmOrigin.Tester, ServiceAlarmCodes.ArchiveFailed, $"The archive {trouble}");
        }
        else if (_journal.Failure is null && ArchiveTrouble is not null)
        {
            _alarms.Clear(AlarmOrigin.Tester, ServiceAlarmCodes.ArchiveFailed);
            Log.ArchiveBack(_logger, TesterId);
        }
    }

    private void LookAtClock()
    {
        if (_clockWatch.Look() is { } change)
        {
            Log.ClockChanged(_logger, TesterId, change.Text);
            _run?.Note(change.Code, change.Text);
            _run?.HandOver(_journal);
            if (change.Code == ServiceAlarmCodes.ClockJumped)
            {
                _clockJumped = _time.GetTimestamp();
                _alarms.Raise(AlarmOrigin.Tester, change.Code, change.Text);
            }
        }
        else if (_clockJumped is { } at && _time.GetElapsedTime(at) >= ClockAlarmTime)
        {
            _clockJumped = null;
            _alarms.Clear(AlarmOrigin.Tester, ServiceAlarmCodes.ClockJumped);
        }
    }

    private void LookAtRoom()
    {
        if (_ambient.Trouble() is { } trouble)
        {
            _alarms.Raise(AlarmOrigin.Tester, ServiceAlarmCodes.AmbientStale, trouble);
        }
        else
        {
            _alarms.Clear(AlarmOrigin.Tester, ServiceAlarmCodes.AmbientStale);
        }
    }

    private void Announce(JournalEntry entry)
    {
        switch (entry)
        {
            case RunBegins begins:
                (_announced, _shown) = (begins.Run, null);
                _timelines.Add(begins.Run);
                Log.Started(_logger, TesterId, begins.Run.RunId, begins.Header.Plan.Method.Id);
                break;
            case RowsCame came:
                came.Run.AddRows(came.Rows.Span);
                break;
            case FactsStated stated:
                stated.Run.AddEvents(stated.Facts);
                Alarm(stated.Facts);
                break;
            case RunEnds ends:
                ends.Run.Close(ends.ClosedAt, ends.Result, _archive.ArchivedRows(ends.Run.RunId));
                _alarms.EndRun();
                Log.Closed(_logger, TesterId, ends.Run.RunId, ends.Result.Verdict);
                break;
            case RunGivenUp givenUp:
                givenUp.Run.AddEvents([givenUp.Why]);
                givenUp.Run.EndInterrupted(_archive.ArchivedRows(givenUp.Run.RunId));
                _timelines.Forget(givenUp.Run.RunId);
                _alarms.EndRun();
                Log.GivenUp(_logger, TesterId, givenUp.Run.RunId);
                break;
            default:
                throw new InvalidOperationException($"no way to announce {entry.GetType().Name}");
        }

        if (entry.AskedBy is { } command)
        {
            _done.Add((command, entry.Run));
        }
    }

    private void Alarm(IReadOnlyList<RunOutput> facts)
    {
        foreach (var fact in facts)
        {
            if (fact is AlarmRaised raised)
            {
                _alarms.Raise(AlarmOrigin.Run, raised.Code, raised.Text);
            }
            else if (fact is AlarmCleared cleared)
            {
                _alarms.Clear(AlarmOrigin.Run, cleared.Code);
            }
        }
    }

    private void Publish()
    {
        // A run is shown from the moment its beginning is archived.
        if (_run is { } run && run.Timeline == _announced)
        {
            _shown = run.Status() is { } status ? Announceable(_newest.With(status)) : _newest.Status(_shown?.Phase ?? RunPhase.Ready);
            if (_shown is not null)
            {
                run.Timeline.SetStatus(_shown);
            }

            _view = new(_announced, _shown);
        }
        else
        {
            _view = new(_announced, _newest.Status(_announced is null ? RunPhase.Ready : RunPhase.Closed));
        }

        var seen = new Seen(_view, _announced?.Ended, _alarms.Standing, Inbox.Connection, Inbox.Counters, _drive?.Overview is { } drive ? drive with { SecondsSinceAcknowledged = null } : null);
        if (seen != _seen)
        {
            _seen = seen;
            Interlocked.Increment(ref _version);
        }
    }

    // A status may tell of a flash that is not archived yet. Until it is, only what is read now goes on.
    private RunStatus Announceable(RunStatus status) => _journal.WaitingFacts == 0 ? status : (_shown ?? new() { Phase = RunPhase.Ready, AtSeconds = 0, Applications = 0 }) with
    {
        AtSeconds = status.AtSeconds,
        TemperatureCelsius = status.TemperatureCelsius,
        RateCelsiusPerMinute = status.RateCelsiusPerMinute,
        RateUncertaintyCelsiusPerMinute = status.RateUncertaintyCelsiusPerMinute,
        FlameOver = status.FlameOver,
        Detector = status.Detector,
        SecondDetector = status.SecondDetector,
    };

    /// <summary>What a reader of the overview can see, to tell a change from a mere turn of the loop.</summary>
    private sealed record Seen(View View, bool? Ended, IReadOnlyList<StandingAlarm> Alarms, (ConnectionState State, string? Text) Connection, TesterCounters Counters, DriveOverview? Drive);

    private static partial class Log
    {
        [LoggerMessage(1001, LogLevel.Information, "Tester {TesterId}: run {RunId} started under {MethodId}")]
        public static partial void Started(ILogger logger, string testerId, string runId, string methodId);

        [LoggerMessage(1002, LogLevel.Information, "Tester {TesterId}: run {RunId} closed, {Verdict}")]
        public static partial void Closed(ILogger logger, string testerId, string runId, Core.Results.Verdict verdict);

        [LoggerMessage(1003, LogLevel.Warning, "Tester {TesterId}: its time went back during run {RunId}; the tester was started again, the run is stopped")]
        public static partial void TesterRestarted(ILogger logger, string testerId, string runId);

        [LoggerMessage(1004, LogLevel.Critical, "Tester {TesterId}: judging run {RunId} failed; its rows are still archived")]
        public static partial void JudgingFailed(ILogger logger, Exception exception, string testerId, string runId);

        [LoggerMessage(1005, LogLevel.Error, "Tester {TesterId}: the archive cannot be written; trying again")]
        public static partial void ArchiveFailed(ILogger logger, Exception exception, string testerId);

        [LoggerMessage(1006, LogLevel.Information, "Tester {TesterId}: the archive is written again; everything that waited is archived")]
        public static partial void ArchiveBack(ILogger logger, string testerId);

        [LoggerMessage(1007, LogLevel.Critical, "Tester {TesterId}: the service ends with {Rows} rows in {Entries} entries that the archive did not take; they are lost")]
        public static partial void LostAtEnd(ILogger logger, string testerId, int rows, int entries);

        [LoggerMessage(1008, LogLevel.Warning, "Tester {TesterId}: the service ends while run {RunId} is open; the next start goes on with it, or marks it as interrupted")]
        public static partial void LeftOpen(ILogger logger, string testerId, string runId);

        [LoggerMessage(1010, LogLevel.Warning, "Tester {TesterId}: {Change}")]
        public static partial void ClockChanged(ILogger logger, string testerId, string change);

        [LoggerMessage(1009, LogLevel.Error, "Tester {TesterId}: run {RunId} was given up without a result")]
        public static partial void GivenUp(ILogger logger, string testerId, string runId);
    }
}
