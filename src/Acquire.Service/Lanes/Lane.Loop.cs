using Acquire.Core.Readings;

namespace Acquire.Service.Lanes;

public sealed partial class Lane
{
    private const int MostRowsATurn = 1024;
    private static readonly TimeSpan TickPeriod = TimeSpan.FromMilliseconds(250);

    // Owned by the loop.
    private readonly DeviceClock _clock = new();
    private OpenRun? _run;
    private LaneReadings _newest;

    /// <summary>The loop. Ends when asked to, after everything that waits in the inbox was taken and archived; an open run stays open in the archive.</summary>
    /// <remarks>May be started again after it failed: a run that was open then is given up, its archived rows stay.</remarks>
    public async Task RunAsync(CancellationToken stopping)
    {
        GiveUpRun();
        using var ending = CancellationTokenSource.CreateLinkedTokenSource(stopping);
        using var timer = new PeriodicTimer(TickPeriod, _time);
        try
        {
            Task<bool>? rows = null, commands = null, tick = null;
            while (!stopping.IsCancellationRequested)
            {
                // While the archive is broken and much waits, rows stay in the inbox and the source has to wait: memory is bounded, nothing is dropped.
                var held = _journal.WaitingRows >= LaneJournal.MostWaitingRows;
                rows ??= held ? null : Inbox.Rows.WaitToReadAsync(ending.Token).AsTask();
                commands ??= _commands.Reader.WaitToReadAsync(ending.Token).AsTask();
                tick ??= timer.WaitForNextTickAsync(ending.Token).AsTask();
                await Task.WhenAny(commands, tick, rows ?? tick).ConfigureAwait(false);
                await TurnAsync(Ready(ref rows), Ready(ref tick)).ConfigureAwait(false);
                _ = Ready(ref commands);
            }
        }
        finally
        {
            await ending.CancelAsync().ConfigureAwait(false);
        }

        await DrainAsync().ConfigureAwait(false);
    }

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

    private async Task TurnAsync(bool rows, bool tick)
    {
        while (_commands.Reader.TryRead(out var command))
        {
            command.Answer.TrySetResult(await ObeyAsync(command).ConfigureAwait(false));
        }

        if (rows)
        {
            TakeRows(MostRowsATurn);
        }

        if (tick)
        {
            _watch.Look(_run is not null);
        }

        await SettleAsync(atOnce: false).ConfigureAwait(false);
    }

    private void TakeRows(int most)
    {
        for (var taken = 0; taken < most && Inbox.Rows.TryRead(out var row); taken++)
        {
            Take(row);
        }

        _run?.HandOver(_journal);
    }

    private void Take(in ReadingRow row)
    {
        _watch.Alive();
        _newest.Take(row);
        var begins = _clock.Begins(row.AtSeconds);
        if (begins && _run is { HasRows: true } interrupted)
        {
            Log.TesterRestarted(_logger, TesterId, interrupted.Header.Id);
            CloseRun(interrupted);
        }

        if (_run is null && _autoStart is not null && _autoStart.Starts(row, begins))
        {
            _run = NewRun(_autoStart.Order);
            _journal.Add(new RunBegins(_run.Timeline, _run.Header));
        }

        if (_run is { } run)
        {
            run.Take(row);
            CheckJudging(run);
            if (run.Closed)
            {
                EndRun(run);
            }
        }
    }

    private async Task<CommandAnswer> ObeyAsync(LaneCommand command) => command switch
    {
        StartCommand start => await StartAsync(start.Order).ConfigureAwait(false),
        StopCommand stop => await StopAsync(stop.RunId).ConfigureAwait(false),
        _ => throw new InvalidOperationException($"no way to obey {command.GetType().Name}"),
    };

    private async Task<CommandAnswer> StartAsync(RunOrder order)
    {
        if (_run is { } open)
        {
            return new(CommandOutcome.RunIsOpen, open.Timeline.Summary(0), $"run {open.Header.Id} is open on tester {TesterId}; stop it first");
        }

        var run = NewRun(order);
        _journal.Add(new RunBegins(run.Timeline, run.Header));
        if (!await SettleAsync(atOnce: true).ConfigureAwait(false))
        {
            _journal.Withdraw(run.Timeline);
            return new(CommandOutcome.ArchiveFailed, null, ArchiveTrouble);
        }

        _run = run;
        _watch.Alive();
        _alarms.Clear(AlarmOrigin.Tester, ServiceAlarmCodes.LaneFailed);
        Publish(settled: true);
        return new(CommandOutcome.Done, Summary(run.Timeline), null);
    }

    private async Task<CommandAnswer> StopAsync(string runId)
    {
        if (_run is not { } run || run.Header.Id != runId)
        {
            return new(CommandOutcome.NotOpen, null, $"run {runId} is not open on tester {TesterId}");
        }

        CloseRun(run);
        return await SettleAsync(atOnce: true).ConfigureAwait(false)
            ? new(CommandOutcome.Done, Summary(run.Timeline), null)
            : new(CommandOutcome.ArchiveFailed, null, $"the run is stopped, but its end is not archived yet: {ArchiveTrouble}");
    }

    private void CloseRun(OpenRun run)
    {
        run.Stop();
        CheckJudging(run);
        EndRun(run);
    }

    private void EndRun(OpenRun run)
    {
        run.HandOverEnd(_journal, _time.GetUtcNow());
        _run = null;
    }

    private void CheckJudging(OpenRun run)
    {
        if (run.JudgingFailure is { } failure && !run.FailureReported)
        {
            run.FailureReported = true;
            _alarms.Raise(AlarmOrigin.Run, ServiceAlarmCodes.SupervisionFailed, "The program failed while judging this run: nothing more is detected in it. Readings are still archived; the run can be judged again from them. Watch the cup yourself.");
            Log.JudgingFailed(_logger, failure, TesterId, run.Header.Id);
        }
    }

    private void GiveUpRun()
    {
        if (_run is { } run)
        {
            EndRun(run);
        }
    }

    private async Task DrainAsync()
    {
        // Sources are stopped by now; the bound only keeps one that is not from holding up the end.
        TakeRows(Inbox.Capacity + MostRowsATurn);
        if (!await SettleAsync(atOnce: true).ConfigureAwait(false))
        {
            Log.LostAtEnd(_logger, TesterId, _journal.WaitingRows, _journal.Waiting);
        }

        if (_run is { } run)
        {
            Log.LeftOpen(_logger, TesterId, run.Header.Id);
        }

        while (_commands.Reader.TryRead(out var command))
        {
            command.Answer.TrySetResult(new(CommandOutcome.Busy, null, "the service is ending"));
        }
    }
}
