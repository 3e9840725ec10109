using Acquire.Service.Archive.Influx.Keeping;

namespace Acquire.Service.Archive.Influx.Feeding;

/// <summary>Which runs have something that the server does not have. Memory is bounded by the window, however many wait.</summary>
/// <param name="archive">The archive.</param>
/// <param name="store">What was acknowledged.</param>
/// <param name="time">Clock.</param>
/// <param name="onlyLooks">Whether nothing is to be noted: for whoever only asks.</param>
internal sealed class OutboxRuns(ArchiveFeed archive, OutboxStore store, TimeProvider time, bool onlyLooks = false)
{
    private const int Window = 256;
    private static readonly TimeSpan BetweenSweeps = TimeSpan.FromMinutes(1);
    private static readonly TimeSpan BetweenCounts = TimeSpan.FromSeconds(10);

    private readonly Dictionary<long, OutboxCursor> _cursors = [];
    private readonly Dictionary<long, FeedRun> _reopened = [];
    private (long At, long Corrections)? _swept;
    private (long At, long Number, long Runs, long Rows)? _behind;

    // The window goes on behind open runs: one that is left open for days must not keep back the results of all that come after it. Which it has passed is remembered until they are done.
    private readonly SortedSet<long> _passed = [];
    private long _windowFrom;
    private bool _begun;

    /// <summary>The cursor of a run.</summary>
    public OutboxCursor Cursor(FeedRun run)
    {
        if (!_cursors.TryGetValue(run.Number, out var cursor))
        {
            cursor = store.Cursor(run.Number) is { } kept && kept.RunId == run.Id ? kept : OutboxCursor.Begin(run);
            _cursors[run.Number] = cursor;
        }

        // The archive was put back to an older state and has gone on since: what it says now is sent again as a whole.
        return cursor.IsAhead(run) ? _cursors[run.Number] = OutboxCursor.Begin(run) : cursor;
    }

    /// <summary>What waits: runs with something to send, open ones first, then by age.</summary>
    public OutboxLook Look()
    {
        if (!_begun)
        {
            if (!onlyLooks)
            {
                ForgetExchanged();
                ForgetPruned();
            }

            (_windowFrom, _begun) = (store.DoneThrough, true);
        }

        var (window, isFull) = NextWindow();
        Sweep();
        var last = window.Count > 0 ? window[^1].Number : _windowFrom;

        // An open run goes before the backlog, however long that is; and one that was taken up again lies before it.
        var open = archive.OpenRuns();
        var unsent = open.Concat(window).Concat(Passed(open)).Concat(_reopened.Values).DistinctBy(run => run.Number).Where(run => !Cursor(run).Has(run)).OrderBy(run => run.Ended).ThenBy(run => run.Number).ToList();
        foreach (var gone in _reopened.Values.Where(run => Cursor(run).Has(run)).Select(run => run.Number).ToArray())
        {
            _reopened.Remove(gone);
        }

        var (moreRuns, moreRows) = isFull ? Behind(last) : (0, 0);
        var near = unsent.Where(run => !isFull || run.Number <= last).ToArray();
        return new(unsent, near.Length + moreRuns, near.Sum(run => run.Rows - Cursor(run).Rows.Row) + moreRows, isFull);
    }

    /// <summary>Takes cursors that were acknowledged and noted.</summary>
    public void Take(IEnumerable<OutboxCursor> cursors)
    {
        foreach (var cursor in cursors)
        {
            _cursors[cursor.Run] = cursor;
        }
    }

    // Numbers are given again where an archive is replaced: from the first that belongs to another run on, nothing is known.
    private void ForgetExchanged()
    {
        var ids = archive.Ids().ToDictionary(run => run.Number, run => run.Id);
        if (store.Cursors().FirstOrDefault(cursor => ids.GetValueOrDefault(cursor.Run) != cursor.RunId) is { } exchanged)
        {
            store.ForgetFrom(exchanged.Run);
        }
    }

    // Nothing can be sent of a run that was pruned, and nobody can put right what the words say.
    private void ForgetPruned()
    {
        if (store.SetAsideRuns() is { Count: > 0 } aside)
        {
            store.ForgetSetAside(aside.Intersect(archive.Pruned(), StringComparer.Ordinal));
        }
    }

    private (List<FeedRun> Window, bool IsFull) NextWindow()
    {
        while (true)
        {
            var window = archive.RunsAfter(_windowFrom, Window);
            var isFull = window.Count == Window;
            MoveDone(window, isFull);
            if (!isFull || window.Count > 0)
            {
                return (window, isFull);
            }
        }
    }

    private void MoveDone(List<FeedRun> window, bool isFull)
    {
        var done = window.TakeWhile(run => run.Ended ? Cursor(run).Has(run) : isFull).ToArray();
        if (done.Length == 0)
        {
            return;
        }

        _windowFrom = done[^1].Number;
        window.RemoveRange(0, done.Length);
        _passed.UnionWith(done.Where(run => !run.Ended).Select(run => run.Number));
        foreach (var run in done.Where(run => run.Ended))
        {
            _cursors.Remove(run.Number);
        }

        NoteDone();
    }

    // Of the open runs that the window has passed, those that have ended since.
    private List<FeedRun> Passed(List<FeedRun> open)
    {
        var ended = _passed.Except(open.Select(run => run.Number)).Select(number => (Number: number, Run: archive.Find(number))).ToArray();
        if (_passed.RemoveWhere(number => ended.Any(one => one.Number == number && (one.Run is null || (one.Run.Ended && Cursor(one.Run).Has(one.Run))))) > 0)
        {
            NoteDone();
        }

        return [.. ended.Select(one => one.Run).OfType<FeedRun>().Where(run => _passed.Contains(run.Number))];
    }

    private void NoteDone()
    {
        if (!onlyLooks)
        {
            store.MoveDone(_passed.Count > 0 ? _passed.Min - 1 : _windowFrom);
        }
    }

    // A run that had ended can grow: it is corrected, or taken up again.
    private void Sweep()
    {
        var corrections = archive.Corrections();
        if (_swept is { } swept && swept.Corrections == corrections && time.GetElapsedTime(swept.At) < BetweenSweeps)
        {
            return;
        }

        _swept = (time.GetTimestamp(), corrections);
        _reopened.Clear();
        foreach (var run in archive.Reopened(_windowFrom))
        {
            if (Cursor(run).Has(run))
            {
                _cursors.Remove(run.Number);
            }
            else
            {
                _reopened[run.Number] = run;
            }
        }
    }

    private (long Runs, long Rows) Behind(long number)
    {
        if (_behind is not { } known || known.Number != number || time.GetElapsedTime(known.At) >= BetweenCounts)
        {
            var (runs, rows) = archive.Behind(number);
            _behind = known = (time.GetTimestamp(), number, runs, rows);
        }

        return (known.Runs, known.Rows);
    }
}
