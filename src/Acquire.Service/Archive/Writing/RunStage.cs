using System.Runtime.InteropServices;
using Acquire.Service.Archive.Database;
using Acquire.Core.Readings;

namespace Acquire.Service.Archive.Writing;

/// <summary>What one transaction adds to one run. What is committed of the run changes only after the commit; what a failed commit leaves behind it is cut off by the next one.</summary>
internal sealed class RunStage
{
    // Rows that come within one interval beside a chunk that is nearly full; a list that grows by itself doubles.
    private const int RoomBesidesChunk = 64;

    private readonly OpenRun _run;
    private readonly int _chunkRows;

    public RunStage(OpenRun run, int chunkRows)
    {
        (_run, _chunkRows, NextEvent) = (run, chunkRows, run.NextEvent);
        run.Tail.EnsureCapacity(chunkRows + RoomBesidesChunk);
        run.Tail.RemoveRange(run.CommittedTail, run.Tail.Count - run.CommittedTail);
    }

    /// <summary>Sequence number of the next event in this transaction.</summary>
    public long NextEvent { get; set; }

    public OpenRun Run => _run;

    private long FirstRow => _run.CommittedRows - _run.CommittedTail;

    public void Add(ReadOnlySpan<ReadingRow> rows) => _run.Tail.AddRange(rows);

    /// <summary>Writes the rewritten newest chunk and all that follow it.</summary>
    public void WriteChunks(ArchiveStatements statements)
    {
        if (_run.Tail.Count == _run.CommittedTail)
        {
            return;
        }

        var rows = CollectionsMarshal.AsSpan(_run.Tail);
        for (var at = 0; at < rows.Length; at += _chunkRows)
        {
            var count = Math.Min(_chunkRows, rows.Length - at);
            statements.PutChunk(_run.Number, _run.TailChunk + (at / _chunkRows), FirstRow + at, rows.Slice(at, count), final: count == _chunkRows);
        }
    }

    /// <summary>Writes the newest chunk for the last time: nothing follows in this run.</summary>
    public void WriteLastChunk(ArchiveStatements statements)
    {
        var full = _run.Tail.Count / _chunkRows;
        if (_run.Tail.Count > full * _chunkRows)
        {
            var rows = CollectionsMarshal.AsSpan(_run.Tail)[(full * _chunkRows)..];
            statements.PutChunk(_run.Number, _run.TailChunk + full, FirstRow + (full * _chunkRows), rows, final: true);
        }
    }

    /// <summary>After the commit: the run is now where the transaction took it.</summary>
    public void Committed()
    {
        var full = _run.Tail.Count / _chunkRows;
        var added = _run.Tail.Count - _run.CommittedTail;
        _run.TailChunk += full;
        _run.Tail.RemoveRange(0, full * _chunkRows);
        _run.CommittedTail = _run.Tail.Count;
        _run.NextEvent = NextEvent;
        _run.CommittedRows += added;
    }
}
