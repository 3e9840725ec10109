using Acquire.Core.Readings;

namespace Acquire.Service.Archive.Writing;

/// <summary>A run that is being written. All but the two counters at the top belongs to the writer's thread.</summary>
internal sealed class OpenRun(string id, long number)
{
    private long _committedRows;
    private int _closing;

    /// <summary>Run id.</summary>
    public string Id { get; } = id;

    /// <summary>Key of the run in the database.</summary>
    public long Number { get; } = number;

    /// <summary>Rows that are committed.</summary>
    public long CommittedRows
    {
        get => Interlocked.Read(ref _committedRows);
        set => Interlocked.Exchange(ref _committedRows, value);
    }

    /// <summary>True from the moment somebody closes the run; nothing may follow.</summary>
    public bool Closing
    {
        get => Volatile.Read(ref _closing) == 1;
        set => Volatile.Write(ref _closing, value ? 1 : 0);
    }

    /// <summary>Number of the newest chunk, which is rewritten until it is full.</summary>
    public long TailChunk { get; set; }

    /// <summary>Rows of the newest chunk: the committed ones, and behind them those that a transaction is adding. One list for the whole run: with hundreds of runs, a new one at each commit is most of what the program allocates.</summary>
    public List<ReadingRow> Tail { get; } = [];

    /// <summary>How many rows of <see cref="Tail"/> are committed.</summary>
    public int CommittedTail { get; set; }

    /// <summary>Sequence number of the next event.</summary>
    public long NextEvent { get; set; }
}
