using Acquire.Service.Configuration;

namespace Acquire.Service.Sources.Serial;

/// <summary>The readers of serial ports: one for each tester on one.</summary>
internal sealed class SerialPorts(SourceKeeper keeper, TimeProvider time, ILoggerFactory loggers)
{
    private readonly Dictionary<string, RunningSource> _running = new(StringComparer.Ordinal);

    /// <summary>All readers.</summary>
    public IEnumerable<RunningSource> Running => _running.Values;

    /// <summary>Begins to read.</summary>
    public void Begin(Feed feed, SourceConfig.Serial serial, CancellationToken all)
    {
        var source = new SerialSource(serial, feed.Inbox, time, loggers.CreateLogger<SerialSource>(), feed.Outlet, feed.Tap);
        _running.Add(feed.Id, new(stopping => keeper.RunAsync(feed.Id, () => [feed.Inbox], source.RunAsync, stopping), all));
    }

    /// <summary>Ends reading; the port is closed when this ends.</summary>
    public Task EndAsync(string id) => _running.Remove(id, out var running) ? running.EndAsync() : Task.CompletedTask;
}
