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
    private readonly IReadOnlyList<Feed> _first;
    private readonly CancellationTokenSource _stopMessages = new();
    private readonly CancellationTokenSource _stopPorts = new();
    private readonly SemaphoreSlim _changing = new(1);
    private readonly SerialPorts _serial;
    private readonly ModbusWires _modbus;
    private readonly MessageSource _messages;

    /// <param name="config">The testers, what they share, and their sources.</param>
    /// <param name="inboxes">An inbox for each id of a tester or a shared source.</param>
    /// <param name="time">Clock.</param>
    /// <param name="loggers">Log.</param>
    /// <param name="outlets">Where the commands for each driven tester come from, by tester id; null where none is driven.</param>
    /// <param name="taps">Who listens to a wire, by id; null where nobody does.</param>
    public SourceHost(AcquireConfig config, IReadOnlyDictionary<string, LaneInbox> inboxes, TimeProvider time, ILoggerFactory loggers, IReadOnlyDictionary<string, DriveOutlet>? outlets = null, IReadOnlyDictionary<string, WireTap>? taps = null)
    {
        ArgumentNullException.ThrowIfNull(config);
        ArgumentNullException.ThrowIfNull(inboxes);
        _first = [.. FeedsOf(config, inboxes, outlets ?? new Dictionary<string, DriveOutlet>()).Select(feed => feed with { Tap = taps?.GetValueOrDefault(feed.Id) })];
        var keeper = new SourceKeeper(time, loggers.CreateLogger<SourceHost>());
        _serial = new(keeper, time, loggers);
        _modbus = new(keeper, time, loggers);
        _messages = new(config.Mqtt, keeper, time, loggers);
    }

    /// <summary>Starts all sources. An embedded broker listens when this ends, or has stated why it cannot.</summary>
    public Task StartAsync(CancellationToken cancellationToken) => AddAsync(_first, cancellationToken);

    /// <summary>Reads for more testers, or shared sources, from now on; the others are not touched.</summary>
    internal async Task AddAsync(IReadOnlyList<Feed> feeds, CancellationToken cancellationToken)
    {
        await _changing.WaitAsync(cancellationToken).ConfigureAwait(false);
        try
        {
            foreach (var feed in feeds)
            {
                if (feed.Source is SourceConfig.Serial serial)
                {
                    _serial.Begin(feed, serial, _stopPorts.Token);
                }
            }

            _modbus.Begin(feeds.Where(feed => feed.Source is SourceConfig.Modbus).Select(feed => (feed, (SourceConfig.Modbus)feed.Source)), _stopPorts.Token);
            await _messages.BeginAsync([.. feeds.Where(feed => feed.Source is SourceConfig.Mqtt).Select(feed => (feed, (SourceConfig.Mqtt)feed.Source))], _stopMessages.Token, cancellationToken).ConfigureAwait(false);
        }
        finally
        {
            _changing.Release();
        }
    }

    /// <summary>Reads for a tester, or a shared source, no longer; the others are not touched.</summary>
    internal async Task RemoveAsync(string id)
    {
        await _changing.WaitAsync().ConfigureAwait(false);
        try
        {
            _messages.End(id);
            await _serial.EndAsync(id).ConfigureAwait(false);
            await _modbus.EndAsync(id).ConfigureAwait(false);
        }
        finally
        {
            _changing.Release();
        }
    }

    /// <summary>Ends all sources.</summary>
    public async Task StopAsync(CancellationToken cancellationToken)
    {
        await _stopMessages.CancelAsync();
        await _messages.Task.WaitAsync(cancellationToken).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        await _stopPorts.CancelAsync();
        await Task.WhenAll(_serial.Running.Concat(_modbus.Running).Select(running => running.Task)).WaitAsync(cancellationToken).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        _stopMessages.Dispose();
        _stopPorts.Dispose();
        _changing.Dispose();
        _messages.Dispose();
        foreach (var running in _serial.Running.Concat(_modbus.Running))
        {
            running.Dispose();
        }
    }

    private static IEnumerable<Feed> FeedsOf(AcquireConfig config, IReadOnlyDictionary<string, LaneInbox> inboxes, IReadOnlyDictionary<string, DriveOutlet> outlets)
    {
        foreach (var station in config.Ambient)
        {
            yield return new(station.Id, station.Source, InboxOf(inboxes, station.Id));
        }

        foreach (var tester in config.Testers)
        {
            yield return new(tester.Id, tester.Source, InboxOf(inboxes, tester.Id), outlets.GetValueOrDefault(tester.Id), tester.Drive?.Topic);
        }
    }

    private static LaneInbox InboxOf(IReadOnlyDictionary<string, LaneInbox> inboxes, string id) =>
        inboxes.GetValueOrDefault(id) ?? throw new ArgumentException($"'{id}' has no inbox.", nameof(inboxes));
}
