using Acquire.Service.Configuration;
using Acquire.Service.Lanes;
using Acquire.Service.Lanes.Driving;
using Acquire.Service.Sources.Modbus;
using Acquire.Service.Sources.Mqtt;
using Acquire.Service.Sources.Serial;

namespace Acquire.Service.Sources;

/// <summary>Starts every source of readings and ends them in order: messages first, so that no broker is left unanswered, then the ports.</summary>
/// <remarks>Each source has a task of its own and states its troubles on its own inboxes; none of them ends another or the service.</remarks>
public sealed class SourceHost : IHostedService, IDisposable
{
    private readonly AcquireConfig _config;
    private readonly IReadOnlyDictionary<string, LaneInbox> _inboxes;
    private readonly IReadOnlyDictionary<string, DriveOutlet> _outlets;
    private readonly TimeProvider _time;
    private readonly ILoggerFactory _loggers;
    private readonly SourceKeeper _keeper;
    private readonly CancellationTokenSource _stopMessages = new();
    private readonly CancellationTokenSource _stopPorts = new();
    private readonly List<Task> _ports = [];
    private Task _messages = Task.CompletedTask;

    /// <param name="config">The testers and their sources.</param>
    /// <param name="inboxes">An inbox for each tester id.</param>
    /// <param name="time">Clock.</param>
    /// <param name="loggers">Log.</param>
    /// <param name="outlets">Where the commands for each driven tester come from, by tester id; null where none is driven.</param>
    public SourceHost(AcquireConfig config, IReadOnlyDictionary<string, LaneInbox> inboxes, TimeProvider time, ILoggerFactory loggers, IReadOnlyDictionary<string, DriveOutlet>? outlets = null)
    {
        ArgumentNullException.ThrowIfNull(config);
        ArgumentNullException.ThrowIfNull(inboxes);
        if (config.Testers.FirstOrDefault(tester => !inboxes.ContainsKey(tester.Id)) is { } orphan)
        {
            throw new ArgumentException($"Tester '{orphan.Id}' has no inbox.", nameof(inboxes));
        }

        _config = config;
        _inboxes = inboxes;
        _outlets = outlets ?? new Dictionary<string, DriveOutlet>();
        _time = time;
        _loggers = loggers;
        _keeper = new(time, loggers.CreateLogger<SourceHost>());
    }

    /// <summary>Starts all sources. An embedded broker listens when this ends, or has stated why it cannot.</summary>
    public async Task StartAsync(CancellationToken cancellationToken)
    {
        foreach (var tester in _config.Testers)
        {
            if (tester.Source is SourceConfig.Serial serial)
            {
                var source = new SerialSource(serial, _inboxes[tester.Id], _time, _loggers.CreateLogger<SerialSource>(), _outlets.GetValueOrDefault(tester.Id));
                _ports.Add(Task.Run(() => _keeper.RunAsync(tester.Id, [_inboxes[tester.Id]], source.RunAsync, _stopPorts.Token), CancellationToken.None));
            }
        }

        StartModbus();
        var readers = _config.Testers.Where(tester => tester.Source is SourceConfig.Mqtt)
            .Select(tester => ((SourceConfig.Mqtt)tester.Source, _inboxes[tester.Id])).ToList();
        if (readers.Count > 0)
        {
            await StartMessagesAsync(new(readers), cancellationToken);
        }
    }

    /// <summary>Ends all sources.</summary>
    public async Task StopAsync(CancellationToken cancellationToken)
    {
        await _stopMessages.CancelAsync();
        await _messages.WaitAsync(cancellationToken).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        await _stopPorts.CancelAsync();
        await Task.WhenAll(_ports).WaitAsync(cancellationToken).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        _stopMessages.Dispose();
        _stopPorts.Dispose();
    }

    // One port, one reader: testers whose units are on the same wire share it.
    private void StartModbus()
    {
        var polled = _config.Testers.Where(tester => tester.Source is SourceConfig.Modbus)
            .Select(tester => (Source: (SourceConfig.Modbus)tester.Source, Inbox: _inboxes[tester.Id]));
        foreach (var wire in polled.GroupBy(tester => tester.Source.Wire))
        {
            IReadOnlyList<PolledTester> testers = [.. wire.Select(tester => new PolledTester(tester.Source, tester.Inbox, _time))];
            IReadOnlyList<LaneInbox> inboxes = [.. wire.Select(tester => tester.Inbox)];
            var line = new ModbusLine(ModbusLink.To(wire.Key, _time, _loggers), testers, _time, _loggers.CreateLogger<ModbusLine>());
            _ports.Add(Task.Run(() => _keeper.RunAsync(wire.Key.Name, inboxes, line.RunAsync, _stopPorts.Token), CancellationToken.None));
        }
    }

    private async Task StartMessagesAsync(ReadingDispatcher dispatcher, CancellationToken cancellationToken)
    {
        var stopping = _stopMessages.Token;
        IReadOnlyList<DriveChannel> drives = [.. _config.Testers
            .Where(tester => tester is { Source: SourceConfig.Mqtt, Drive.Topic: not null } && _outlets.ContainsKey(tester.Id))
            .Select(tester => new DriveChannel(tester.Id, tester.Drive!.Topic!, _outlets[tester.Id]))];
        IReadOnlyList<LaneInbox> inboxes = [.. dispatcher.Routes.Select(route => route.Inbox).Distinct()];
        switch (_config.Mqtt)
        {
            case MqttConfig.Embedded embedded:
                var broker = new EmbeddedBroker(embedded, dispatcher, _time, _loggers.CreateLogger<EmbeddedBroker>(), drives);
                _messages = Task.Run(() => _keeper.RunAsync("mqtt", inboxes, broker.RunAsync, stopping), CancellationToken.None);
                await Task.WhenAny(broker.FirstAttempt, _messages).WaitAsync(cancellationToken);
                break;
            case MqttConfig.External external:
                var client = new BrokerClient(external.Connection, dispatcher, _time, _loggers.CreateLogger<BrokerClient>(), drives);
                _messages = Task.Run(() => _keeper.RunAsync("mqtt", inboxes, client.RunAsync, stopping), CancellationToken.None);
                break;
            default:
                throw new InvalidOperationException($"No source reads {_config.Mqtt}.");
        }
    }
}
