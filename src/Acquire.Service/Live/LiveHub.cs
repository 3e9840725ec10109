using System.Runtime.CompilerServices;
using Acquire.Service.Archive;
using Acquire.Service.Lanes;
using Microsoft.AspNetCore.SignalR;

namespace Acquire.Service.Live;

/// <summary>The live streams, read-only. Each stream is pulled by its reader: a slow one falls behind and catches up, and delays nobody.</summary>
public sealed class LiveHub(LaneSet lanes, RunTimelines timelines, RunArchive archive, TimeProvider time) : Hub
{
    private static readonly TimeSpan OverviewPause = TimeSpan.FromMilliseconds(200);
    private static readonly TimeSpan OverviewAtLeastEach = TimeSpan.FromSeconds(1);

    /// <summary>All testers, at once and then when something changed, at most five times a second and at least once a second.</summary>
    public async IAsyncEnumerable<TesterOverview[]> Overview([EnumeratorCancellation] CancellationToken cancellationToken)
    {
        var slots = StreamSlots.Of(Context);
        slots.Enter();
        try
        {
            var (seen, sent) = (-1L, 0L);
            while (true)
            {
                var version = lanes.Version;
                if (version != seen || time.GetElapsedTime(sent) >= OverviewAtLeastEach)
                {
                    (seen, sent) = (version, time.GetTimestamp());
                    yield return lanes.Overview();
                }

                await Task.Delay(OverviewPause, time, cancellationToken).ConfigureAwait(false);
            }
        }
        finally
        {
            slots.Leave();
        }
    }

    /// <summary>One run from the given indices on, until it has ended and everything was sent.</summary>
    /// <param name="runId">Run id.</param>
    /// <param name="fromPoint">Points the reader holds already; 0 or more. Beyond the end means the end.</param>
    /// <param name="fromEvent">Events the reader holds already; 0 or more. Beyond the end means the end.</param>
    /// <param name="cancellationToken">Ends the stream.</param>
    /// <exception cref="HubException">There is no such run, an index is negative, or the connection holds too many streams.</exception>
    public async IAsyncEnumerable<RunUpdate> Run(string runId, int fromPoint, int fromEvent, [EnumeratorCancellation] CancellationToken cancellationToken)
    {
        Check("fromPoint", fromPoint);
        Check("fromEvent", fromEvent);
        var timeline = timelines.Find(runId ?? "") ?? throw new HubException($"runId: there is no run '{Shortened(runId)}'");
        var slots = StreamSlots.Of(Context);
        slots.Enter();
        try
        {
            await foreach (var update in RunFollower.FollowAsync(timeline, archive, fromPoint, fromEvent, time, cancellationToken).ConfigureAwait(false))
            {
                yield return update;
            }
        }
        finally
        {
            slots.Leave();
        }
    }

    private static void Check(string name, int index)
    {
        if (index < 0)
        {
            throw new HubException($"{name}: {index} is negative; give the number you hold already, 0 or more");
        }
    }

    private static string Shortened(string? runId) => runId is { Length: > 100 } ? runId[..100] : runId ?? "";
}
