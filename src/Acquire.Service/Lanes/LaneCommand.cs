using Acquire.Core.Runs;
using Acquire.Service.Live;

namespace Acquire.Service.Lanes;

/// <summary>What became of a command.</summary>
public enum CommandOutcome
{
    /// <summary>Done and archived; <see cref="CommandAnswer.Run"/> is the run.</summary>
    Done,

    /// <summary>A run is open already.</summary>
    RunIsOpen,

    /// <summary>The run is not the open one.</summary>
    NotOpen,

    /// <summary>The run is open and cannot take it now, or ever.</summary>
    NotTaken,

    /// <summary>The archive could not be written.</summary>
    ArchiveFailed,

    /// <summary>The lane does not take commands now.</summary>
    Busy,
}

/// <summary>The answer to a command. A refusal is a value.</summary>
/// <param name="Outcome">What became of it.</param>
/// <param name="Run">The run as it stands after the command was done; null where it was refused.</param>
/// <param name="Text">Why it was refused, for a person; null where it was done.</param>
public sealed record CommandAnswer(CommandOutcome Outcome, RunSummary? Run, string? Text);

/// <summary>What a person wants of a lane. It enters the loop where rows enter.</summary>
internal abstract record LaneCommand
{
    // The caller continues on the pool: the lane never runs a caller's code.
    public TaskCompletionSource<CommandAnswer> Answer { get; } = new(TaskCreationOptions.RunContinuationsAsynchronously);
}

/// <summary>Start a run.</summary>
internal sealed record StartCommand(RunOrder Order) : LaneCommand;

/// <summary>Take no run any more: the tester is about to be changed, or to go.</summary>
internal sealed record RetireCommand : LaneCommand;

/// <summary>Close the run now.</summary>
internal sealed record StopCommand(string RunId) : LaneCommand;

/// <summary>Record what a person saw at the cup.</summary>
internal sealed record ObserveCommand(string RunId, Sighting Seen, string? Person) : LaneCommand;

/// <summary>Record that a fresh test portion was charged.</summary>
internal sealed record ChargeCommand(string RunId, double? Millilitres, string? Person) : LaneCommand;

/// <summary>Take the newest observation back; where a time is given, only the one that was made then.</summary>
internal sealed record WithdrawCommand(string RunId, double? AtSeconds, string? Person) : LaneCommand;

/// <summary>Turn the heater of a driven tester on.</summary>
internal sealed record HeaterOnCommand(string RunId, string Person) : LaneCommand;

/// <summary>Turn the heater of a driven tester off.</summary>
internal sealed record HeaterOffCommand(string? Person) : LaneCommand;

/// <summary>A checked request for a run: what was booked in and what rules it.</summary>
/// <param name="Specimen">What is in the cup.</param>
/// <param name="Plan">What is fixed before heating.</param>
public sealed record RunOrder(string Specimen, RunPlan Plan);
