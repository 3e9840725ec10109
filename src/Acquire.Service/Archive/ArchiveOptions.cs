namespace Acquire.Service.Archive;

/// <summary>How the archive commits.</summary>
public sealed record ArchiveOptions
{
    /// <summary>Rows wait at most this long for others to share a commit with; 10 ms to 1 s. What a power cut can take.</summary>
    public TimeSpan CommitInterval { get; init; } = TimeSpan.FromMilliseconds(200);

    /// <summary>Rows and events that may wait in memory, about 40 bytes each; 1,024 to 16,777,216.</summary>
    public int QueueCapacity { get; init; } = 262_144;

    /// <summary>On disposal, failing commits are tried again for at most this long; 0 to 5 min.</summary>
    public TimeSpan DrainLimit { get; init; } = TimeSpan.FromSeconds(10);

    /// <summary>Rows in one stored chunk; 16 to 65,536. The newest chunk is rewritten by each commit until it is full.</summary>
    /// <remarks>512 rows of a usual run take about 1 KiB: several share a page of the file, and a rewrite is one page.</remarks>
    public int ChunkRows { get; init; } = 512;

    /// <summary>Whether runs that nobody closed stay open, for somebody who takes each of them up or marks it interrupted; otherwise the opening marks them.</summary>
    public bool KeepsOpenRuns { get; init; }

    internal void Check()
    {
        Within(nameof(CommitInterval), CommitInterval.TotalMilliseconds, 10, 1000);
        Within(nameof(QueueCapacity), QueueCapacity, 1024, 16_777_216);
        Within(nameof(DrainLimit), DrainLimit.TotalSeconds, 0, 300);
        Within(nameof(ChunkRows), ChunkRows, 16, Rows.RowChunk.MostRows);
    }

    private static void Within(string name, double value, double least, double most)
    {
        if (!(value >= least && value <= most))
        {
            throw new ArgumentOutOfRangeException(name, value, FormattableString.Invariant($"{name} must lie within {least} and {most}."));
        }
    }
}
