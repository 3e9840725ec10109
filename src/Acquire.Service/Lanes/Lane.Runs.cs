using Acquire.Service.Lanes.Archiving;
using Acquire.Service.Lanes.Watching;

namespace Acquire.Service.Lanes;

public sealed partial class Lane
{
    private void Obey(LaneCommand command)
    {
        switch (command)
        {
            case StartCommand when _run is { } open:
                Answer(command, CommandOutcome.RunIsOpen, $"run {open.Header.Id} is open on tester {TesterId}; stop it first");
                break;
            case StartCommand when _retired:
                Answer(command, CommandOutcome.Busy, Retired);
                break;
            case RetireCommand when _run is { } open:
                Answer(command, CommandOutcome.RunIsOpen, $"run {open.Header.Id} is open on tester {TesterId}");
                break;
            case RetireCommand:
                _retired = true;
                command.Answer.TrySetResult(new(CommandOutcome.Done, null, null));
                break;
            case StartCommand start:
                OpenRun(start.Order, start);
                _watch.Alive();
                _alarms.Clear(AlarmOrigin.Tester, ServiceAlarmCodes.LaneFailed);
                break;
            case StopCommand stop when _run is not { } run || run.Header.Id != stop.RunId:
                Answer(command, CommandOutcome.NotOpen, $"run {stop.RunId} is not open on tester {TesterId}");
                break;
            case StopCommand:
                CloseRun(_run, command);
                break;
            case ObserveCommand observe:
                Enter(observe, observe.RunId, run => run.WhyNotObserve(), (run, since) => run.Observe(since, observe.Seen, observe.Person));
                break;
            case WithdrawCommand withdraw:
                Enter(withdraw, withdraw.RunId, run => run.WhyNotWithdraw(withdraw.AtSeconds, SinceReading), (run, since) => run.Withdraw(since, withdraw.Person));
                break;
            case ChargeCommand charge:
                Enter(charge, charge.RunId, run => run.WhyNotCharge(), (run, since) => run.Charge(since, charge.Millilitres, charge.Person));
                break;
            case HeaterOnCommand on:
                TurnOn(on);
                break;
            case HeaterOffCommand off:
                TurnOff(off);
                break;
            default:
                throw new InvalidOperationException($"no way to obey {command.GetType().Name}");
        }

        // A person waits: an archive that failed a moment ago is tried again now.
        _journal.Pump(atOnce: true);
    }

    private double SinceReading => Inbox.SecondsSinceReading ?? 0;

    // What was read before the key was pressed stands before it in the record.
    private void Enter(LaneCommand command, string runId, Func<OpenRun, string?> whyNot, Action<OpenRun, double> enter)
    {
        if (!IsHeld)
        {
            TakeRows(Inbox.Rows.Count);
        }

        if (_run is not { } run || run.Header.Id != runId)
        {
            Answer(command, CommandOutcome.NotOpen, $"run {runId} is not open on tester {TesterId}");
        }
        else if (whyNot(run) is { } reason)
        {
            Answer(command, CommandOutcome.NotTaken, reason);
        }
        else
        {
            enter(run, SinceReading);
            CheckJudging(run);
            run.HandOver(_journal, command);
            if (run.Closed)
            {
                EndRun(run, askedBy: null);
            }
        }
    }

    private void OpenRun(RunOrder order, LaneCommand? askedBy)
    {
        _run = NewRun(order);
        _run.Begins = Begins;
        _capture?.Begin(_run.Header.Id);
        if (_drive is not null)
        {
            _run.Stated = _drive.Note;
            _drive.Begin(_run.Header.Plan);
        }

        _journal.Add(new RunBegins(_run.Timeline, _run.Header) { AskedBy = askedBy });
    }

    private void CloseRun(OpenRun run, LaneCommand? askedBy)
    {
        // The heater goes off before the record is closed, so that the record says so.
        Record(_drive?.Close() ?? []);
        run.Stop();
        CheckJudging(run);
        EndRun(run, askedBy);
    }

    private void EndRun(OpenRun run, LaneCommand? askedBy, string? why = null)
    {
        run.HandOverEnd(_journal, _time.GetUtcNow(), askedBy, why);
        _run = null;
        _capture?.End();
        _drive?.Close();
    }

    private void GiveUpRun()
    {
        if (_run is { } run)
        {
            EndRun(run, askedBy: null, "The program failed in this tester's lane, which was started again; what was read meanwhile is missing. Report the log; begin again with a fresh test portion.");
        }
    }

    private void CheckJudging(OpenRun run)
    {
        if (run.JudgingFailure is { } failure && !run.FailureReported)
        {
            run.FailureReported = true;
            _alarms.Raise(AlarmOrigin.Run, ServiceAlarmCodes.SupervisionFailed, "The program failed while judging this run: nothing more is detected in it. Readings are still archived; the run can be judged again from them. Watch the cup yourself.");
            Record(_drive?.Fault("it cannot judge this run any more") ?? []);
            Log.JudgingFailed(_logger, failure, TesterId, run.Header.Id);
        }
    }

    /// <summary>The archive failed: nobody is left waiting, and a run that a person asked for and nobody was told of does not begin.</summary>
    private void RefuseAsked(string trouble)
    {
        foreach (var entry in _journal.Waiting.Where(entry => entry.AskedBy is not null).ToArray())
        {
            if (entry is RunBegins)
            {
                _journal.Withdraw(entry);
                if (_run?.Timeline == entry.Run)
                {
                    _run = null;
                    _capture?.End();
                }

                _drive?.Close();
                Answer(entry.AskedBy!, CommandOutcome.ArchiveFailed, trouble);
            }
            else if (entry is FactsStated && entry.AskedBy is HeaterOnCommand)
            {
                Record(_drive?.Fault("it cannot record that the heater was turned on") ?? []);
                Answer(entry.AskedBy, CommandOutcome.ArchiveFailed, $"The heater is off again: it is turned on only where that is recorded. {trouble}");
            }
            else if (entry is FactsStated && entry.AskedBy is HeaterOffCommand)
            {
                Answer(entry.AskedBy, CommandOutcome.ArchiveFailed, $"The heater is off, but that is not archived yet. {trouble}");
            }
            else if (entry is FactsStated)
            {
                Answer(entry.AskedBy!, CommandOutcome.ArchiveFailed, entry.AskedBy is WithdrawCommand
                    ? $"The observation is taken back, but that is not archived yet. {trouble}"
                    : $"What was seen is taken, but not archived yet; do not record it again. {trouble}");
            }
            else
            {
                Answer(entry.AskedBy!, CommandOutcome.ArchiveFailed, $"The run is stopped, but its end is not archived yet. {trouble}");
            }
        }
    }

    private static void Answer(LaneCommand command, CommandOutcome outcome, string text) => command.Answer.TrySetResult(new(outcome, null, text));
}
