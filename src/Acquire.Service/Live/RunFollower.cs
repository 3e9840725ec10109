using System.Runtime.CompilerServices;
using Acquire.Service.Archive;

namespace Acquire.Service.Live;

/// <summary>Reads one run's timeline for one reader, at the reader's own pace. Nobody waits for it.</summary>
public static class RunFollower
{
    /// <summary>Most points in one update; a late reader gets the curve in several.</summary>
    public const int MostPoints = 2000;

    /// <summary>Most events in one update.</summary>
    public const int MostEvents = 250;

    private static readonly TimeSpan ShortestPause = TimeSpan.FromMilliseconds(50);
    private static readonly TimeSpan LongestPause = TimeSpan.FromSeconds(1);

    /// <summary>Updates from the given indices on, at once where nothing was sent for 50 ms, so at most twenty a second once the reader has caught up, until the run has ended and everything was sent.</summary>
    /// <param name="timeline">The run.</param>
    /// <param name="archive">Tells how many rows are committed.</param>
    /// <param name="fromPoint">First point wanted; beyond the end means the end.</param>
    /// <param name="fromEvent">First event wanted; beyond the end means the end.</param>
    /// <param name="time">Clock for the pauses.</param>
    /// <param name="cancellationToken">Ends the reading.</param>
    public static async IAsyncEnumerable<RunUpdate> FollowAsync(
        RunTimeline timeline,
        RunArchive archive,
        int fromPoint,
        int fromEvent,
        TimeProvider time,
        [EnumeratorCancellation] CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(timeline);
        ArgumentNullException.ThrowIfNull(archive);
        var (point, happened) = (Math.Min(fromPoint, timeline.PointCount), Math.Min(fromEvent, timeline.EventCount));
        (long Version, long Rows) sent = (-1, -1);
        while (true)
        {
            // In this order: what was true of the end is true of everything read after it.
            var version = timeline.Version;
            var ended = timeline.Ended;
            var update = Read(timeline, archive, point, happened, ended);
            var now = (version, update.Summary.ArchivedRows);
            (point, happened) = (point + update.Curve.Time.Count, happened + update.Events.Count);
            if (now != sent || update.Curve.Time.Count > 0 || update.Events.Count > 0)
            {
                sent = now;
                yield return update;
            }

            if (point < timeline.PointCount || happened < timeline.EventCount)
            {
                continue;
            }

            if (ended)
            {
                yield break;
            }

            await Task.Delay(ShortestPause, time, cancellationToken).ConfigureAwait(false);
            await timeline.NewerThan(version).WaitAsync(LongestPause, time, cancellationToken).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            cancellationToken.ThrowIfCancellationRequested();
        }
    }

    private static RunUpdate Read(RunTimeline timeline, RunArchive archive, int point, int happened, bool ended) => new(
        timeline.Points(point, MostPoints),
        happened,
        timeline.Events(happened, MostEvents),
        ended ? null : timeline.Status,
        timeline.Summary(archive.ArchivedRows));
}
