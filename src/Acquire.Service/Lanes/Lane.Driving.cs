using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Service.Lanes.Driving;

namespace Acquire.Service.Lanes;

/// <summary>What a lane does about the heater of a driven tester.</summary>
public sealed partial class Lane
{
    private readonly LaneDrive? _drive;

    /// <summary>Where the tester's source takes its commands; null where it is not driven.</summary>
    public DriveOutlet? Outlet => _drive?.Outlet;

    /// <summary>Turns the heater of the open run on, in the name of a person; refused where the cause of a trip still stands. Archived before it is answered.</summary>
    public Task<CommandAnswer> TurnHeaterOnAsync(string runId, string person, CancellationToken cancellationToken) =>
        AskAsync(new HeaterOnCommand(runId, person), cancellationToken);

    /// <summary>Turns the heater off, whatever runs: always taken, and heard before anything that waits.</summary>
    public Task<CommandAnswer> TurnHeaterOffAsync(CancellationToken cancellationToken) => TurnHeaterOffAsync(null, cancellationToken);

    /// <summary>The same in the name of a person.</summary>
    /// <param name="person">Who; null where nobody said.</param>
    /// <param name="cancellationToken">Gives up waiting for the answer.</param>
    public Task<CommandAnswer> TurnHeaterOffAsync(string? person, CancellationToken cancellationToken)
    {
        _drive?.AskOff(person);
        return AskAsync(new HeaterOffCommand(person), cancellationToken);
    }

    private string NotDriven => $"tester {TesterId} is not driven: its heater is turned on and off at the tester itself";

    private void TurnOn(HeaterOnCommand command)
    {
        if (!IsHeld)
        {
            TakeRows(Inbox.Rows.Count);
        }

        if (_drive is null)
        {
            Answer(command, CommandOutcome.NotTaken, NotDriven);
        }
        else if (_run is not { } run || run.Header.Id != command.RunId)
        {
            Answer(command, CommandOutcome.NotOpen, $"run {command.RunId} is not open on tester {TesterId}");
        }
        else if (run.JudgingFailure is not null)
        {
            Answer(command, CommandOutcome.NotTaken, "the program failed while judging this run and detects nothing more; start a new run");
        }
        else if (ArchiveTrouble is { } trouble)
        {
            Answer(command, CommandOutcome.NotTaken, $"the heater is turned on only where it is recorded. {trouble}");
        }
        else
        {
            var wasOn = _drive.Overview.On;
            Record(_drive.TurnOn(command.Person, out var refused));
            if (refused is not null)
            {
                Answer(command, CommandOutcome.NotTaken, refused.Message);
            }
            else
            {
                HandOver(run, wasOn ? null : command);
                DoneWithoutRecord(command, wasOn);
            }
        }
    }

    private void TurnOff(HeaterOffCommand command)
    {
        if (_drive is null)
        {
            Answer(command, CommandOutcome.NotTaken, NotDriven);
            return;
        }

        var any = Record(_drive.TurnOff(command.Person));
        if (_run is { } run)
        {
            HandOver(run, any ? command : null);
        }

        DoneWithoutRecord(command, !any || _run is null);
    }

    private static void DoneWithoutRecord(LaneCommand command, bool nothingToArchive)
    {
        if (nothingToArchive)
        {
            command.Answer.TrySetResult(new(CommandOutcome.Done, null, null));
        }
    }

    private void HandOver(OpenRun run, LaneCommand? askedBy)
    {
        CheckJudging(run);
        run.HandOver(_journal, askedBy);
    }

    private void DriveRow(in ReadingRow read, double testerSeconds)
    {
        if (_drive is not null)
        {
            Record(_drive.Take(read, testerSeconds));
        }
    }

    private void DriveTick()
    {
        if (_drive is not null && Record(_drive.Tick(Inbox.ConnectionsLost)) && _run is { } run)
        {
            HandOver(run, null);
        }
    }

    /// <summary>What happened to the heater goes into the record of the open run.</summary>
    /// <returns>Whether anything did.</returns>
    private bool Record(IReadOnlyList<HeaterFact> facts)
    {
        foreach (var fact in facts)
        {
            Log.Heater(_logger, TesterId, fact is HeaterTurnedOn on ? $"turned on by {on.Person}" : $"off: {((HeaterCut)fact).Code}");
            _run?.Heater(fact);
        }

        return facts.Count > 0;
    }

    private static partial class Log
    {
        [LoggerMessage(1030, LogLevel.Warning, "Tester {TesterId}: heater {What}")]
        public static partial void Heater(ILogger logger, string testerId, string what);
    }
}
