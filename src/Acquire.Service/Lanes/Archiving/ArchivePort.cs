using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Service.Archive;

namespace Acquire.Service.Lanes.Archiving;

/// <summary>What a lane asks of the archive.</summary>
/// <param name="BeginRun">Opens a run; durable on completion.</param>
/// <param name="AppendRows">Takes rows over; committed soon.</param>
/// <param name="AppendEvents">Durable on completion, with all rows before.</param>
/// <param name="CloseRun">Closes a run; durable on completion.</param>
/// <param name="InterruptRun">Ends a run without a result; durable on completion.</param>
/// <param name="ArchivedRows">Rows of a run that are committed.</param>
/// <param name="Trouble">Why the archive cannot be written, for a person; null while it can.</param>
public sealed record ArchivePort(
    Func<RunHeader, CancellationToken, Task> BeginRun,
    Func<string, ReadOnlyMemory<ReadingRow>, CancellationToken, ValueTask> AppendRows,
    Func<string, IReadOnlyList<RunOutput>, CancellationToken, Task> AppendEvents,
    Func<string, DateTimeOffset, RunResult, CancellationToken, Task> CloseRun,
    Func<string, DateTimeOffset, RunInterrupted, CancellationToken, Task> InterruptRun,
    Func<string, long> ArchivedRows,
    Func<string?> Trouble)
{
    /// <summary>The port to an archive.</summary>
    public static ArchivePort To(RunArchive archive)
    {
        ArgumentNullException.ThrowIfNull(archive);
        return new(
            archive.BeginRunAsync,
            archive.AppendRowsAsync,
            archive.AppendEventsAsync,
            archive.CloseRunAsync,
            archive.InterruptAsync,
            archive.ArchivedRows,
            () => archive.Trouble);
    }
}
