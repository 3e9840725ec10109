using Acquire.Service.Configuration;
using Acquire.Service.Lanes;

namespace Acquire.Service.Sources.Modbus;

/// <summary>The readers of Modbus wires. One wire, one reader: testers whose units are on the same wire share it, and come and go while it runs.</summary>
internal sealed class ModbusWires(SourceKeeper keeper, TimeProvider time, ILoggerFactory loggers)
{
    private readonly Dictionary<ModbusWire, Wire> _wires = [];

    /// <summary>All readers.</summary>
    public IEnumerable<RunningSource> Running => _wires.Values.Select(wire => wire.Running);

    /// <summary>Begins to read several testers; those on a wire that is read already join it.</summary>
    public void Begin(IEnumerable<(Feed Feed, SourceConfig.Modbus Source)> feeds, CancellationToken all)
    {
        foreach (var sharing in feeds.GroupBy(one => one.Source.Wire))
        {
            (PolledTester Tester, LaneInbox Inbox)[] added = [.. sharing.Select(one => (new PolledTester(one.Source, one.Feed.Inbox, time, one.Feed.Tap), one.Feed.Inbox))];
            if (_wires.TryGetValue(sharing.Key, out var wire))
            {
                foreach (var (tester, inbox) in added)
                {
                    wire.Inboxes[inbox.TesterId] = inbox;
                    wire.Line.Add(tester);
                }

                continue;
            }

            var inboxes = new SharedInboxes(added.Select(one => one.Inbox));
            var line = new ModbusLine(ModbusLink.To(sharing.Key, time, loggers), [.. added.Select(one => one.Tester)], time, loggers.CreateLogger<ModbusLine>());
            _wires.Add(sharing.Key, new(line, inboxes, new(stopping => keeper.RunAsync(sharing.Key.Name, () => inboxes.All, line.RunAsync, stopping), all)));
        }
    }

    /// <summary>Ends reading a tester; the wire is closed with its last.</summary>
    public async Task EndAsync(string id)
    {
        var (key, wire) = _wires.FirstOrDefault(pair => pair.Value.Inboxes.Contains(id));
        if (wire is null)
        {
            return;
        }

        wire.Inboxes.Remove(id);
        wire.Line.Remove(id);
        if (wire.Inboxes.IsEmpty)
        {
            _wires.Remove(key);
            await wire.Running.EndAsync().ConfigureAwait(false);
        }
    }

    private sealed record Wire(ModbusLine Line, SharedInboxes Inboxes, RunningSource Running);
}
