using System.Runtime.InteropServices;
using Acquire.Service.Archive.Database;
using Acquire.Core.Readings;

namespace Acquire.Service.Archive.Writing;

/// <summary>What one transaction adds to one run. The run itself changes only after the commit, so a failed commit leaves no trace.</summary>
internal sealed class RunStage(OpenRun run, int chunkRows)
{
    private readonly List<ReadingRow> _rows = [.. run.Tail];

    /// <summary>Sequence number of the next event in this transaction.</summary>
    public long NextEvent { get; set; } = run.NextEvent;

    public OpenRun Run => run;

    public void Add(ReadOnlySpan<ReadingRow> rows) => _rows.AddRange(rows);

    /// <summary>Writes the rewritten newest chunk and all that follow it.</summary>
    public void WriteChunks(ArchiveStatements statements)
    {
        if (_rows.Count == run.Tail.Count)
        {
            return;
        }

        var rows = CollectionsMarshal.AsSpan(_rows);
        var firstRow = run.CommittedRows - run.Tail.Count;
        for (var at = 0; at < rows.Length; at += chunkRows)
        {
            var count = Math.Min(chunkRows, rows.Length - at);
            statements.PutChunk(run.Number, run.TailChunk + (at / chunkRows), firstRow + at, rows.Slice(at, count), final: count == chunkRows);
        }
    }

    /// <summary>Writes the newest chunk for the last time: nothing follows in this run.</summary>
    public void WriteLastChunk(ArchiveStatements statements)
    {
        var full = _rows.Count / chunkRows;
        if (_rows.Count > full * chunkRows)
        {
            var rows = CollectionsMarshal.AsSpan(_rows)[(full * chunkRows)..];
            statements.PutChunk(run.Number, run.TailChunk + full, run.CommittedRows - run.Tail.Count + (full * chunkRows), rows, final: true);
        }
    }

    /// <summary>After the commit: the run is now where the transaction took it.</summary>
    public void Committed()
    {
        var full = _rows.Count / chunkRows;
        var added = _rows.Count - run.Tail.Count;
        run.TailChunk += full;
        run.Tail = full == 0 ? _rows : _rows[(full * chunkRows)..];
        run.NextEvent = NextEvent;
        run.CommittedRows += added;
    }
}
