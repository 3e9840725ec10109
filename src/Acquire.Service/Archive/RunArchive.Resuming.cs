using System.Globalization;
using Acquire.Core.Runs;
using Acquire.Service.Archive.Database;
using Acquire.Service.Archive.Writing;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive;

/// <summary>What becomes of runs that were open when the service ended.</summary>
public sealed partial class RunArchive
{
    /// <summary>When rows were last committed before this opening, UTC, within a second or so; null where they never were, or by a version that left no sign.</summary>
    public DateTimeOffset? LastSign { get; }

    /// <summary>Ids of the runs that have no end, oldest first.</summary>
    public IReadOnlyList<string> OpenRuns() => _reader.OpenIds();

    /// <summary>Id of the newest run that a tester began here, open or not; null where there is none.</summary>
    internal string? NewestRunOf(string testerId) => _reader.NewestOf(testerId);

    /// <summary>What was known when a run began. Throws <see cref="KeyNotFoundException"/> for an unknown run, <see cref="ArchiveCorruptException"/> for a damaged one.</summary>
    public RunHeader ReadHeader(string id) => _reader.Header(id) ?? throw new KeyNotFoundException($"There is no run '{id}' in the archive.");

    /// <summary>Opens a run for writing that has no end: what is appended follows what is there. Throws as <see cref="ReadRows"/>; <see cref="InvalidOperationException"/> where it has an end, or is being written.</summary>
    public void TakeUp(string id)
    {
        if (!_reader.OpenIds().Contains(id, StringComparer.Ordinal) || _open.ContainsKey(id))
        {
            throw new InvalidOperationException($"The run '{id}' cannot be taken up: it has an end, or is being written.");
        }

        var (number, rows) = ExtentOf(id);
        var tail = _reader.Tail(id, number);
        var run = new OpenRun(id, number) { CommittedRows = rows, TailChunk = tail.Chunk, NextEvent = tail.NextEvent };
        run.Tail.AddRange(_reader.Rows(id, number, rows).Skip((int)tail.FirstRow));
        run.CommittedTail = run.Tail.Count;
        _open[id] = run;
    }

    /// <summary>Marks a run that has no end as interrupted, with the fact that says why; durable when the task completes. Nothing can follow; done again it changes nothing.</summary>
    public Task InterruptAsync(string id, DateTimeOffset at, RunInterrupted why, CancellationToken cancellationToken)
    {
        var number = ExtentOf(id).Number;
        return WriteAsync(new InterruptWork(number, at, why, ArchiveJson.Write<RunOutput>(why), () => _open.TryRemove(id, out _)), cancellationToken);
    }

    private static DateTimeOffset? SignOf(SqliteConnection connection) =>
        DateTimeOffset.TryParseExact(ArchiveConnection.Scalar(connection, "SELECT at_utc FROM probe LIMIT 1"), "O", CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal | DateTimeStyles.AdjustToUniversal, out var at) ? at : null;
}
