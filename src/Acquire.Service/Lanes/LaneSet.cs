using Acquire.Service.Lanes.Driving;
using Acquire.Service.Live;

namespace Acquire.Service.Lanes;

/// <summary>The lanes of all testers, in the order of the configuration.</summary>
public sealed class LaneSet
{
    private readonly Dictionary<string, Lane> _byId;

    /// <exception cref="ArgumentException">Two lanes have the same tester id.</exception>
    public LaneSet(IReadOnlyList<Lane> lanes)
    {
        All = lanes;
        _byId = lanes.ToDictionary(lane => lane.TesterId, StringComparer.Ordinal);
        Inboxes = lanes.ToDictionary(lane => lane.TesterId, lane => lane.Inbox, StringComparer.Ordinal);
        Outlets = lanes.Where(lane => lane.Outlet is not null).ToDictionary(lane => lane.TesterId, lane => lane.Outlet!, StringComparer.Ordinal);
    }

    /// <summary>All lanes.</summary>
    public IReadOnlyList<Lane> All { get; }

    /// <summary>Where each tester's source puts its rows, by tester id.</summary>
    public IReadOnlyDictionary<string, LaneInbox> Inboxes { get; }

    /// <summary>Where the source of each driven tester takes its commands, by tester id.</summary>
    public IReadOnlyDictionary<string, DriveOutlet> Outlets { get; }

    /// <summary>Number of changes of all lanes together; differs whenever one of them has changed.</summary>
    public long Version => All.Sum(lane => lane.Version);

    /// <summary>Why the archive cannot be written; null while no lane has trouble with it.</summary>
    public string? ArchiveTrouble => All.Select(lane => lane.ArchiveTrouble).FirstOrDefault(trouble => trouble is not null);

    /// <summary>The lane of a tester; null where there is no such tester.</summary>
    public Lane? Find(string testerId) => _byId.GetValueOrDefault(testerId);

    /// <summary>All testers at a glance.</summary>
    public TesterOverview[] Overview() => [.. All.Select(lane => lane.Overview())];
}
