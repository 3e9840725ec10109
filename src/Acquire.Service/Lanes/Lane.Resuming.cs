using System.Globalization;
using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Service.Configuration;
using Acquire.Service.Lanes.Resuming;
using Acquire.Service.Lanes.Watching;

namespace Acquire.Service.Lanes;

/// <summary>How a lane goes on with a run that was open when the service ended.</summary>
public sealed partial class Lane
{
    private TakenUp? _takenUp;
    private long _takenUpAt;
    private TimeSpan _rowsAwaited;

    /// <summary>The tester as it is configured.</summary>
    internal TesterConfig Config => _config;

    /// <summary>Goes on with a run once the loop begins; it is visible at once.</summary>
    internal void TakeUp(TakenUp run)
    {
        _takenUp = run;
        _timelines.Add(run.Run.Timeline);
        (_announced, _view) = (run.Run.Timeline, new(run.Run.Timeline, null));
    }

    private bool HasTestersTime => _config.Source.Channels.Contains(ReadingChannel.Time);

    // The row may have waited in the queue: only for rows that are stamped as they arrive it is known how long.
    private DateTimeOffset ArrivedAt(double atSeconds) =>
        HasTestersTime ? _time.GetUtcNow() : _time.GetUtcNow() - TimeSpan.FromSeconds(Inbox.ArrivalSeconds - atSeconds);

    private AxisBegun Begins(double atSeconds) => new(0, null, atSeconds, HasTestersTime, ArrivedAt(atSeconds));

    private void TakeUpRun()
    {
        if (_takenUp is not { Run: var run } up)
        {
            return;
        }

        (_takenUp, _run, _takenUpAt, _rowsAwaited) = (null, run, _time.GetTimestamp(), up.RowsAwaited);
        Log.TakenUp(_logger, TesterId, run.Header.Id, up.Fact.SecondsAway);
        if (run.Closed)
        {
            EndRun(run, askedBy: null);
            return;
        }

        run.Begins = Begins;
        _capture?.Begin(run.Header.Id);
        foreach (var alarm in run.StandingAlarms)
        {
            _alarms.Raise(AlarmOrigin.Run, alarm.Code, alarm.Text);
        }

        run.Resume(up.Fact);
        if (_drive is not null)
        {
            run.Stated = _drive.Note;
            Record(_drive.TakeUp(run.Header.Plan, run.State, up.Facts, up.Rows));
        }

        run.HandOver(_journal);
    }

    private void GoOn(OpenRun run, in ReadingRow row)
    {
        if (run.GoOn(row, ArrivedAt(row.AtSeconds)) is { } why)
        {
            Interrupt(run, why);
        }
        else
        {
            _drive?.Begins(run.StartSeconds!.Value);
        }
    }

    private void LookForAwaitedRow()
    {
        if (_run is { AwaitsRow: true } run && _time.GetElapsedTime(_takenUpAt) > _rowsAwaited)
        {
            Interrupt(run, string.Create(CultureInfo.InvariantCulture, $"no reading came within {_rowsAwaited.TotalMinutes:0.#} min after the service was started again"));
        }
    }

    private void Interrupt(OpenRun run, string why)
    {
        Record(_drive?.Close() ?? []);
        Log.NotGoneOn(_logger, TesterId, run.Header.Id, why);
        EndRun(run, askedBy: null, RunResumption.Words(why));
    }

    private static partial class Log
    {
        [LoggerMessage(1011, LogLevel.Warning, "Tester {TesterId}: run {RunId} was open when the service ended and goes on; its newest readings were archived {SecondsAway} s ago")]
        public static partial void TakenUp(ILogger logger, string testerId, string runId, double? secondsAway);

        [LoggerMessage(1012, LogLevel.Warning, "Tester {TesterId}: run {RunId} was open when the service ended and cannot go on: {Why}")]
        public static partial void NotGoneOn(ILogger logger, string testerId, string runId, string why);
    }
}
