using Acquire.Core.Readings;
using Acquire.Core.Thermometry;
using Acquire.Service.Lanes.Archiving;
using Acquire.Service.Lanes.Starting;
using Acquire.Service.Lanes.Watching;

namespace Acquire.Service.Lanes;

public sealed partial class Lane
{
    private const int MostRowsATurn = 1024;
    private static readonly TimeSpan TickPeriod = TimeSpan.FromMilliseconds(250);
    private static readonly TimeSpan ClockAlarmTime = TimeSpan.FromMinutes(1);

    // Owned by the loop.
    private readonly DeviceClock _clock = new();
    private readonly ClockWatch _clockWatch;
    private OpenRun? _run;
    private LaneReadings _newest;
    private ThermometerReader _thermometer;

    /// <summary>The loop. Ends when asked to, after everything that waits in the inbox was taken and archived; an open run stays open in the archive.</summary>
    /// <remarks>May be started again after it failed: a run that was open then is interrupted, its archived rows stay.</remarks>
    public async Task RunAsync(CancellationToken stopping)
    {
        GiveUpRun();
        TakeUpRun();
        _journal.Pump(atOnce: true);
        using var ending = CancellationTokenSource.CreateLinkedTokenSource(stopping);
        using var timer = new PeriodicTimer(_drive?.TickPeriod ?? TickPeriod, _time);
        try
        {
            Task<bool>? rows = null, commands = null, tick = null;
            while (!stopping.IsCancellationRequested)
            {
                var held = IsHeld;
                rows ??= Inbox.Rows.WaitToReadAsync(ending.Token).AsTask();
                commands ??= _commands.Reader.WaitToReadAsync(ending.Token).AsTask();
                tick ??= timer.WaitForNextTickAsync(ending.Token).AsTask();
                await Task.WhenAny(commands, tick, held ? tick : rows, _journal.Writing ?? tick).ConfigureAwait(false);
                Turn(Ready(ref commands), !held && Ready(ref rows), Ready(ref tick));
            }
        }
        catch
        {
            // Whatever becomes of this lane, nothing heats under it.
            Record(_drive?.Fault("its lane failed") ?? []);
            throw;
        }
        finally
        {
            await ending.CancelAsync().ConfigureAwait(false);
        }

        await DrainAsync().ConfigureAwait(false);
    }

    // While the archive is broken and much waits, rows stay in the inbox and the source has to wait: memory is bounded, nothing is dropped.
    private bool IsHeld => _journal.WaitingRows >= LaneJournal.MostWaitingRows;

    // A wait that has ended is to be made anew for the next turn.
    private static bool Ready(ref Task<bool>? wait)
    {
        if (wait is not { IsCompleted: true })
        {
            return false;
        }

        var ready = wait.IsCompletedSuccessfully && wait.Result;
        wait = null;
        return ready;
    }

    private void Turn(bool commands, bool rows, bool tick)
    {
        // The limit only keeps commands from holding up the rows.
        for (var taken = 0; commands && taken < MostCommandsWaiting && _commands.Reader.TryRead(out var command); taken++)
        {
            Obey(command);
        }

        if (rows)
        {
            TakeRows(MostRowsATurn);
        }

        if (tick)
        {
            _watch.Look(_run is not null);
            _faults.Look();
            _calibration.Look();
            LookForAwaitedRow();
            LookAtRoom();
            LookAtClock();
            LookAtArchive();
            DriveTick();
        }

        Settle();
    }

    private void TakeRows(int most)
    {
        for (var taken = 0; taken < most && Inbox.Rows.TryRead(out var row); taken++)
        {
            Take(row);
        }

        _run?.HandOver(_journal);
    }

    private void Take(in ReadingRow sent)
    {
        if (!IsSound(sent))
        {
            // Sources refuse such rows themselves. One that slipped through must stop neither the archive nor the rules.
            Inbox.Refuse(new("row", "a time or value that is not a finite number"));
            return;
        }

        _watch.Alive();

        // A late row is of a moment in which the room was another.
        var row = (sent.Marks & ReadingMarks.Late) != 0 ? sent : _ambient.Add(sent);
        if ((row.Marks & ReadingMarks.Late) != 0)
        {
            // Neither a new record nor the newest values: it belongs to the run's record, and that is all.
            _run?.TakeLate(row);
            if (_run is { } recorded)
            {
                CheckJudging(recorded);
            }

            return;
        }

        var begins = _clock.Begins(row.AtSeconds);
        if (_run is { AwaitsRow: true } resumed)
        {
            GoOn(resumed, row);
        }
        else if (begins && _run is { HasRows: true } interrupted)
        {
            Log.TesterRestarted(_logger, TesterId, interrupted.Header.Id);
            CloseRun(interrupted, askedBy: null);
        }

        var read = Look(row, begins);
        if (_run is null && !_retired && _autoStart is not null && _autoStart.Starts(read, begins))
        {
            OpenRun(_autoStart.Order, askedBy: null);
        }

        if (_run is { } run)
        {
            read = run.Take(row);
            CheckJudging(run);
        }

        DriveRow(read, row.AtSeconds);
        if (_run is { } judged)
        {
            CheckJudging(judged);
            if (judged.Closed)
            {
                EndRun(judged, askedBy: null);
            }
        }

        _newest.Take(read);
    }

    // The tester's own reader goes on through all runs: a thermometer that is broken is to be known before a cup is heated
    // under it, and the beginning of a run does not mend it. Each run has a reader of its own, so that it can be made again.
    private ReadingRow Look(in ReadingRow row, bool axisBegins)
    {
        if (axisBegins)
        {
            _thermometer = new(_config.Thermometer);
        }

        var read = _thermometer.Take(row);

        // A block that is held at a temperature is meant to stand still.
        _faults.Take(_run is { Header.Plan.IsEquilibrium: true } ? read.Marks & ~ReadingMarks.Stuck : read.Marks);
        return read;
    }

    private static bool IsSound(in ReadingRow row) =>
        double.IsFinite(row.AtSeconds)
        && (!row.Has(RowChannels.Temperature) || double.IsFinite(row.TemperatureCelsius))
        && (!row.Has(RowChannels.Signal) || double.IsFinite(row.Signal))
        && (!row.Has(RowChannels.Junction) || double.IsFinite(row.JunctionCelsius))
        && (!row.Has(RowChannels.Detector) || double.IsFinite(row.Detector))
        && (!row.Has(RowChannels.SecondDetector) || double.IsFinite(row.SecondDetector))
        && (!row.Has(RowChannels.Heater) || double.IsFinite(row.HeaterFraction))
        && (!row.HasBench || IsSoundBench(row));

    private static bool IsSoundBench(in ReadingRow row) =>
        (!row.Has(RowChannels.Stirrer) || double.IsFinite(row.StirrerRevolutionsPerMinute))
        && (!row.Has(RowChannels.Air) || double.IsFinite(row.AirMetresPerSecond))
        && (!row.Has(RowChannels.Ambient) || double.IsFinite(row.AmbientCelsius));

    private async Task DrainAsync()
    {
        // Sources are stopped by now; the bound only keeps one that is not from holding up the end.
        Record(_drive?.Stopping() ?? []);
        TakeRows(Inbox.Capacity + MostRowsATurn);
        _journal.Pump(atOnce: true);
        Settle();
        while (_journal.Writing is { } writing)
        {
            await writing.ConfigureAwait(false);
            Settle();
        }

        if (_journal.Waiting.Count > 0)
        {
            Log.LostAtEnd(_logger, TesterId, _journal.WaitingRows, _journal.Waiting.Count);
        }

        if (_run is { } run)
        {
            Log.LeftOpen(_logger, TesterId, run.Header.Id);
        }

        while (_commands.Reader.TryRead(out var command))
        {
            command.Answer.TrySetResult(new(CommandOutcome.Busy, null, "the service is ending"));
        }

        if (_capture is not null)
        {
            _capture.End();
            await _capture.FinishAsync().ConfigureAwait(false);
        }
    }
}
