using System.Collections.Concurrent;
using Acquire.Core.Readings;
using Acquire.Service.Archive;

namespace Acquire.Service.Live;

/// <summary>Finds the timeline of any run: in memory for open runs and the newest closed one of each tester, rebuilt from the archive for all others.</summary>
public sealed class RunTimelines(RunArchive archive)
{
    /// <summary>Rebuilt runs that are kept; the least recently asked for goes first.</summary>
    public const int MostRebuilt = 8;

    private const int RowsPerStep = 4096;

    private readonly ConcurrentDictionary<string, RunTimeline> _live = new(StringComparer.Ordinal);
    private readonly LinkedList<(string Id, Lazy<RunTimeline> Timeline)> _rebuilt = new();
    private readonly Lock _rebuiltLock = new();

    /// <summary>Makes a run visible. Earlier runs of the same tester that have ended leave the memory.</summary>
    public void Add(RunTimeline timeline)
    {
        ArgumentNullException.ThrowIfNull(timeline);
        foreach (var earlier in _live.Values.Where(earlier => earlier.TesterId == timeline.TesterId && earlier.Ended))
        {
            _live.TryRemove(earlier.RunId, out _);
        }

        _live[timeline.RunId] = timeline;
    }

    /// <summary>Takes a run out of memory that its lane gave up, or that was corrected after it had ended; from then on the archive speaks for it.</summary>
    public void Forget(string runId)
    {
        _live.TryRemove(runId, out _);
        lock (_rebuiltLock)
        {
            for (var node = _rebuilt.First; node is not null; node = node.Next)
            {
                if (node.Value.Id == runId)
                {
                    _rebuilt.Remove(node);
                    break;
                }
            }
        }
    }

    /// <summary>The timeline of a run; null where there is no such run.</summary>
    public RunTimeline? Find(string runId)
    {
        if (_live.TryGetValue(runId, out var live))
        {
            return live;
        }

        if (Recall(runId) is { } kept)
        {
            return kept.Value;
        }

        return archive.FindRun(runId) switch
        {
            null => null,
            { Summary: { ClosedAt: null, Interrupted: false } } unfinished => Rebuild(unfinished),
            var finished => Remember(finished).Value,
        };
    }

    private Lazy<RunTimeline>? Recall(string runId)
    {
        lock (_rebuiltLock)
        {
            for (var node = _rebuilt.First; node is not null; node = node.Next)
            {
                if (node.Value.Id == runId)
                {
                    _rebuilt.Remove(node);
                    _rebuilt.AddFirst(node);
                    return node.Value.Timeline;
                }
            }

            return null;
        }
    }

    private Lazy<RunTimeline> Remember(RunDetail detail)
    {
        var runId = detail.Summary.Id;
        lock (_rebuiltLock)
        {
            if (Recall(runId) is { } kept)
            {
                return kept;
            }

            // PublicationOnly: a failed read is tried again by the next reader instead of being remembered.
            var timeline = new Lazy<RunTimeline>(() => Rebuild(detail), LazyThreadSafetyMode.PublicationOnly);
            _rebuilt.AddFirst((runId, timeline));
            if (_rebuilt.Count > MostRebuilt)
            {
                _rebuilt.RemoveLast();
            }

            return timeline;
        }
    }

    private RunTimeline Rebuild(RunDetail detail)
    {
        var timeline = new RunTimeline(detail.Summary);
        foreach (var rows in archive.ReadRows(detail.Summary.Id).Chunk(RowsPerStep))
        {
            timeline.AddRows((ReadOnlySpan<ReadingRow>)rows);
        }

        timeline.AddEvents(detail.Events);
        if (detail.Summary is { ClosedAt: { } closedAt, Result: { } result })
        {
            timeline.Close(closedAt, result, detail.Summary.ArchivedRows);
        }
        else
        {
            timeline.EndInterrupted(detail.Summary.ArchivedRows);
        }

        return timeline;
    }
}
