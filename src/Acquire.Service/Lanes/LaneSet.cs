using Acquire.Service.Lanes.Driving;
using Acquire.Service.Live;

namespace Acquire.Service.Lanes;

/// <summary>The lanes of all testers, in the order of the configuration.</summary>
public sealed class LaneSet
{
    private volatile State _state;

    /// <exception cref="ArgumentException">Two lanes have the same tester id.</exception>
    public LaneSet(IReadOnlyList<Lane> lanes) => _state = new(lanes, 0);

    /// <summary>All lanes.</summary>
    public IReadOnlyList<Lane> All => _state.Lanes;

    /// <summary>Where each tester's source puts its rows, by tester id.</summary>
    public IReadOnlyDictionary<string, LaneInbox> Inboxes => All.ToDictionary(lane => lane.TesterId, lane => lane.Inbox, StringComparer.Ordinal);

    /// <summary>Where the source of each driven tester takes its commands, by tester id.</summary>
    public IReadOnlyDictionary<string, DriveOutlet> Outlets => All.Where(lane => lane.Outlet is not null).ToDictionary(lane => lane.TesterId, lane => lane.Outlet!, StringComparer.Ordinal);

    /// <summary>Number of changes of all lanes together; differs whenever one of them has changed, or come, or gone.</summary>
    public long Version => _state is var state ? state.Before + state.Lanes.Sum(lane => lane.Version) : 0;

    /// <summary>Why the archive cannot be written; null while no lane has trouble with it.</summary>
    public string? ArchiveTrouble => All.Select(lane => lane.ArchiveTrouble).FirstOrDefault(trouble => trouble is not null);

    /// <summary>The lane of a tester; null where there is no such tester.</summary>
    public Lane? Find(string testerId) => _state.ById.GetValueOrDefault(testerId);

    /// <summary>Puts others in their place. Only one at a time may do so.</summary>
    internal void Replace(IReadOnlyList<Lane> lanes)
    {
        // What is gone goes on counting, so that the number never comes again.
        var gone = _state.Lanes.Except(lanes).Sum(lane => lane.Version);
        _state = new(lanes, _state.Before + gone + 1);
    }

    /// <summary>All testers at a glance.</summary>
    public TesterOverview[] Overview() => [.. All.Select(lane => lane.Overview())];

    private sealed class State(IReadOnlyList<Lane> lanes, long before)
    {
        public IReadOnlyList<Lane> Lanes => lanes;

        public long Before => before;

        public Dictionary<string, Lane> ById { get; } = lanes.ToDictionary(lane => lane.TesterId, StringComparer.Ordinal);
    }
}
