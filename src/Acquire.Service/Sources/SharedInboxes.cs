using System.Collections.Concurrent;
using Acquire.Service.Lanes;

namespace Acquire.Service.Sources;

/// <summary>The inboxes behind one wire, which come and go while it is read.</summary>
internal sealed class SharedInboxes(IEnumerable<LaneInbox> inboxes)
{
    private readonly ConcurrentDictionary<string, LaneInbox> _byId = new(inboxes.ToDictionary(inbox => inbox.TesterId, StringComparer.Ordinal), StringComparer.Ordinal);

    /// <summary>Those that are there now.</summary>
    public IReadOnlyList<LaneInbox> All => [.. _byId.Values];

    /// <summary>Whether there is none.</summary>
    public bool IsEmpty => _byId.IsEmpty;

    /// <summary>Puts one in.</summary>
    public LaneInbox this[string id]
    {
        set => _byId[id] = value;
    }

    /// <summary>Whether one is there.</summary>
    public bool Contains(string id) => _byId.ContainsKey(id);

    /// <summary>Takes one out.</summary>
    public void Remove(string id) => _byId.TryRemove(id, out _);
}
