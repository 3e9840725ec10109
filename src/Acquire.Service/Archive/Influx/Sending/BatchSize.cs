namespace Acquire.Service.Archive.Influx.Sending;

/// <summary>How many lines the next batch may have: fewer where the server found a request too large, and slowly more again.</summary>
internal sealed class BatchSize
{
    private const int BatchesUntilMore = 50;

    private readonly int _most;
    private int _batches;

    public BatchSize(int most) => _most = Lines = most;

    /// <summary>Lines in the next batch at most.</summary>
    public int Lines { get; private set; }

    /// <summary>Takes what a batch has shown.</summary>
    /// <param name="largestLines">Most lines that were not too large; null where none were.</param>
    public void Learn(int? largestLines)
    {
        if (largestLines is { } largest)
        {
            (Lines, _batches) = (Math.Max(1, Math.Min(Lines, largest)), 0);
        }
        else if (Lines < _most && ++_batches >= BatchesUntilMore)
        {
            (Lines, _batches) = (Math.Min(_most, Lines * 2), 0);
        }
    }
}
