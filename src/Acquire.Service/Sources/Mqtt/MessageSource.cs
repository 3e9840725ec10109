using Acquire.Service.Configuration;

namespace Acquire.Service.Sources.Mqtt;

/// <summary>The one connection to a broker, or the broker inside the service, that all testers on MQTT share. It begins with the first of them.</summary>
internal sealed class MessageSource(MqttConfig config, SourceKeeper keeper, TimeProvider time, ILoggerFactory loggers) : IDisposable
{
    private ReadingDispatcher? _dispatcher;
    private RunningSource? _running;

    /// <summary>Ends with the reader; ended where there is none.</summary>
    public Task Task => _running?.Task ?? Task.CompletedTask;

    /// <summary>Begins to read for several testers. An embedded broker listens when this ends, or has stated why it cannot.</summary>
    public async Task BeginAsync(IReadOnlyList<(Feed Feed, SourceConfig.Mqtt Source)> feeds, CancellationToken all, CancellationToken cancellationToken)
    {
        if (feeds.Count == 0)
        {
            return;
        }

        if (_dispatcher is not null)
        {
            foreach (var (feed, source) in feeds)
            {
                _dispatcher.Add(source, feed.Inbox, feed.Tap);
            }

            return;
        }

        _dispatcher = new([]);
        foreach (var (feed, source) in feeds)
        {
            _dispatcher.Add(source, feed.Inbox, feed.Tap);
        }

        IReadOnlyList<DriveChannel> drives = [.. feeds.Select(one => one.Feed).Where(feed => feed is { Outlet: not null, DriveTopic: not null }).Select(feed => new DriveChannel(feed.Id, feed.DriveTopic!, feed.Outlet!))];
        switch (config)
        {
            case MqttConfig.Embedded embedded:
                var broker = new EmbeddedBroker(embedded, _dispatcher, time, loggers.CreateLogger<EmbeddedBroker>(), drives);
                Run(broker.RunAsync, all);
                await Task.WhenAny(broker.FirstAttempt, Task).WaitAsync(cancellationToken);
                break;
            case MqttConfig.External external:
                Run(new BrokerClient(external.Connection, _dispatcher, time, loggers.CreateLogger<BrokerClient>(), drives).RunAsync, all);
                break;
            default:
                throw new InvalidOperationException($"No source reads {config}.");
        }
    }

    /// <summary>Ends reading for a tester; the connection stays for the others.</summary>
    public void End(string id) => _dispatcher?.Remove(id);

    /// <inheritdoc/>
    public void Dispose() => _running?.Dispose();

    private void Run(Func<CancellationToken, Task> runAsync, CancellationToken all)
    {
        var dispatcher = _dispatcher!;
        _running = new(stopping => keeper.RunAsync("mqtt", () => [.. dispatcher.Routes.Select(route => route.Inbox).Distinct()], runAsync, stopping), all);
    }
}
