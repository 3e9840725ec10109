namespace Acquire.Service.Lanes.Archiving;

/// <summary>What a lane has to archive, in order. An entry is announced after it was archived, and never otherwise.</summary>
/// <remarks>
/// Called by the lane's loop only; the writing itself runs beside the loop, so a slow or hanging disk does not stop the lane.
/// A failed entry stays first and is tried again, at growing distances.
/// </remarks>
internal sealed class LaneJournal(ArchivePort archive, TimeProvider time)
{
    /// <summary>Rows that may wait for a broken archive; beyond it the lane leaves rows in its queue, and the source has to wait.</summary>
    public const int MostWaitingRows = 250_000;

    private const int MostEntriesAtOnce = 256;
    private static readonly TimeSpan ShortestPause = TimeSpan.FromMilliseconds(500);
    private static readonly TimeSpan LongestPause = TimeSpan.FromSeconds(10);

    private Queue<JournalEntry> _waiting = new();
    private Task<Written>? _writing;
    private TimeSpan _pause = ShortestPause;
    private long _failedAt;

    /// <summary>Why the archive cannot be written; null while it can.</summary>
    public Exception? Failure { get; private set; }

    /// <summary>Entries not yet archived, in order.</summary>
    public IReadOnlyCollection<JournalEntry> Waiting => _waiting;

    /// <summary>Rows not yet handed to the archive.</summary>
    public int WaitingRows { get; private set; }

    /// <summary>Entries with facts, or the beginning or end of a run, that are not yet archived.</summary>
    public int WaitingFacts { get; private set; }

    /// <summary>The write under way; null where there is none.</summary>
    public Task? Writing => _writing;

    /// <summary>Puts an entry at the end.</summary>
    public void Add(JournalEntry entry)
    {
        _waiting.Enqueue(entry);
        Count(entry, 1);
    }

    /// <summary>Starts to archive what waits, unless a write is under way or the pause after a failure is not over.</summary>
    /// <param name="atOnce">Do not wait for the pause to be over.</param>
    public void Pump(bool atOnce = false)
    {
        if (_writing is null && _waiting.Count > 0 && (Failure is null || atOnce || time.GetElapsedTime(_failedAt) >= _pause))
        {
            _writing = WriteAsync([.. _waiting.Take(MostEntriesAtOnce)]);
        }
    }

    /// <summary>Takes the outcome of a write that has ended. False where none has.</summary>
    /// <param name="archived">What was archived and is to be announced now.</param>
    public bool Collect(out IReadOnlyList<JournalEntry> archived)
    {
        archived = [];
        if (_writing is not { IsCompleted: true } ended)
        {
            return false;
        }

        _writing = null;
        var written = ended.Result;
        var taken = new JournalEntry[written.Entries];
        for (var index = 0; index < taken.Length; index++)
        {
            taken[index] = _waiting.Dequeue();
            Count(taken[index], -1);
        }

        archived = taken;
        if (written.Failure is not null)
        {
            _pause = Failure is null ? ShortestPause : TimeSpan.FromTicks(Math.Min(_pause.Ticks * 2, LongestPause.Ticks));
            _failedAt = time.GetTimestamp();
        }

        Failure = written.Failure;
        return true;
    }

    /// <summary>Takes out everything of a run that nobody was told of. Not while a write is under way.</summary>
    public void Withdraw(JournalEntry begins)
    {
        var all = _waiting;
        _waiting = new();
        (WaitingRows, WaitingFacts) = (0, 0);
        foreach (var entry in all.Where(entry => entry.Run != begins.Run))
        {
            Add(entry);
        }
    }

    private void Count(JournalEntry entry, int sign)
    {
        WaitingRows += entry is RowsCame came ? sign * came.Rows.Length : 0;
        WaitingFacts += entry is RowsCame ? 0 : sign;
    }

    // Whatever goes wrong in the archive, the entry must not be lost: this is the one place where any exception is taken for a broken archive.
    private async Task<Written> WriteAsync(JournalEntry[] entries)
    {
        for (var done = 0; done < entries.Length; done++)
        {
            try
            {
                await WriteAsync(entries[done]).ConfigureAwait(false);
            }
            catch (Exception exception)
            {
                return new(done, exception);
            }
        }

        return new(entries.Length, null);
    }

    // Never cancelled: a write that was cut off half-way would leave open whether it has to be repeated.
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
            case RunGivenUp givenUp:
                await archive.InterruptRun(run, givenUp.At, givenUp.Why, CancellationToken.None).ConfigureAwait(false);
                break;
            default:
                throw new InvalidOperationException($"no way to archive {entry.GetType().Name}");
        }
    }

    private readonly record struct Written(int Entries, Exception? Failure);
}
