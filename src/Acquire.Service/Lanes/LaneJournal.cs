using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Service.Archive;
using Acquire.Service.Live;

namespace Acquire.Service.Lanes;

/// <summary>One thing to be archived and then announced.</summary>
/// <param name="Run">The run's timeline, to which it is announced.</param>
internal abstract record JournalEntry(RunTimeline Run);

/// <summary>A run begins.</summary>
internal sealed record RunBegins(RunTimeline Run, RunHeader Header) : JournalEntry(Run);

/// <summary>Rows came.</summary>
internal sealed record RowsCame(RunTimeline Run, ReadOnlyMemory<ReadingRow> Rows) : JournalEntry(Run);

/// <summary>The supervisor stated facts.</summary>
internal sealed record FactsStated(RunTimeline Run, IReadOnlyList<RunOutput> Facts) : JournalEntry(Run);

/// <summary>A run ends.</summary>
internal sealed record RunEnds(RunTimeline Run, DateTimeOffset ClosedAt, RunResult Result) : JournalEntry(Run);

/// <summary>The lane gave a run up without a result. The archive needs no word: a run that was not closed counts as interrupted.</summary>
internal sealed record RunGivenUp(RunTimeline Run) : JournalEntry(Run);

/// <summary>What a lane has to archive, in order. An entry is announced after it was archived, and never otherwise.</summary>
/// <remarks>Used by the lane's loop only. A failed entry stays first and is tried again, at growing distances of up to <see cref="LongestPause"/>.</remarks>
internal sealed class LaneJournal(ArchivePort archive, Action<JournalEntry> announce, TimeProvider time)
{
    /// <summary>Rows that may wait for a broken archive; beyond it the lane leaves rows in its queue, and the source has to wait.</summary>
    public const int MostWaitingRows = 250_000;

    private static readonly TimeSpan ShortestPause = TimeSpan.FromMilliseconds(500);
    private static readonly TimeSpan LongestPause = TimeSpan.FromSeconds(10);

    private readonly Queue<JournalEntry> _waiting = new();
    private TimeSpan _pause = ShortestPause;
    private long _failedAt;

    /// <summary>Why the archive cannot be written; null while it can.</summary>
    public Exception? Failure { get; private set; }

    /// <summary>Entries not yet archived.</summary>
    public int Waiting => _waiting.Count;

    /// <summary>Rows not yet handed to the archive.</summary>
    public int WaitingRows { get; private set; }

    /// <summary>Puts an entry at the end.</summary>
    public void Add(JournalEntry entry)
    {
        _waiting.Enqueue(entry);
        WaitingRows += entry is RowsCame came ? came.Rows.Length : 0;
    }

    /// <summary>Archives and announces what waits. False where the archive failed, now or so recently that it is not tried yet.</summary>
    /// <param name="atOnce">Try even if the pause after a failure is not over.</param>
    public async ValueTask<bool> FlushAsync(bool atOnce)
    {
        if (Failure is not null && !atOnce && time.GetElapsedTime(_failedAt) < _pause)
        {
            return false;
        }

        while (_waiting.TryPeek(out var entry))
        {
            if (!await TryWriteAsync(entry).ConfigureAwait(false))
            {
                return false;
            }

            _waiting.Dequeue();
            WaitingRows -= entry is RowsCame came ? came.Rows.Length : 0;
            announce(entry);
        }

        (Failure, _pause) = (null, ShortestPause);
        return true;
    }

    /// <summary>Gives up what waits of a run that nobody was told of.</summary>
    public void Withdraw(RunTimeline run)
    {
        var kept = _waiting.Where(entry => entry.Run != run).ToArray();
        _waiting.Clear();
        WaitingRows = 0;
        foreach (var entry in kept)
        {
            Add(entry);
        }
    }

    // Whatever goes wrong in there, the entry must not be lost: this is the one place where any exception is taken for a broken archive.
    private async ValueTask<bool> TryWriteAsync(JournalEntry entry)
    {
        try
        {
            await WriteAsync(entry).ConfigureAwait(false);
            return true;
        }
        catch (Exception exception)
        {
            _pause = Failure is null ? ShortestPause : TimeSpan.FromTicks(Math.Min(_pause.Ticks * 2, LongestPause.Ticks));
            (Failure, _failedAt) = (exception, time.GetTimestamp());
            return false;
        }
    }

    // Not cancelled: a write that was cut off half-way would leave open whether it has to be repeated.
    private async ValueTask WriteAsync(JournalEntry entry)
    {
        var run = entry.Run.RunId;
        switch (entry)
        {
            case RunBegins begins:
                await archive.BeginRun(begins.Header, CancellationToken.None).ConfigureAwait(false);
                break;
            case RowsCame came:
                await archive.AppendRows(run, came.Rows, CancellationToken.None).ConfigureAwait(false);
                break;
            case FactsStated stated:
                await archive.AppendEvents(run, stated.Facts, CancellationToken.None).ConfigureAwait(false);
                break;
            case RunEnds ends:
                await archive.CloseRun(run, ends.ClosedAt, ends.Result, CancellationToken.None).ConfigureAwait(false);
                break;
            case RunGivenUp:
                break;
            default:
                throw new InvalidOperationException($"no way to archive {entry.GetType().Name}");
        }
    }
}
