using Acquire.Service.Configuration;
using Acquire.Service.Live;
using MQTTnet;
using MQTTnet.Exceptions;
using MQTTnet.Protocol;

namespace Acquire.Service.Sources.Mqtt;

/// <summary>Reads from a broker elsewhere. One task connects, subscribes, waits for the end of the connection, and begins again.</summary>
/// <remarks>A message is acknowledged after its rows were handed over, so what was not handed over comes again; a row can then come twice.</remarks>
public sealed partial class BrokerClient
{
    private static readonly TimeSpan SubscriptionRetry = TimeSpan.FromSeconds(30);
    // Readings are to be back soon after whatever broke the connection has ended, and one attempt a second burdens no broker.
    private const double LongestWaitSeconds = 1;
    private static readonly TimeSpan SettledAfter = TimeSpan.FromSeconds(5);
    private static readonly TimeSpan DisconnectGrace = TimeSpan.FromSeconds(1);

    private readonly BrokerAddress _broker;
    private readonly ReadingDispatcher _dispatcher;
    private readonly IReadOnlyList<DriveChannel> _drives;
    private readonly TimeProvider _time;
    private readonly ILogger _logger;
    private readonly ServicePresence? _presence;
    private readonly Backoff _backoff = new(Random.Shared, LongestWaitSeconds);
    private string? _statedFault;

    /// <param name="broker">Where to connect.</param>
    /// <param name="dispatcher">Takes the messages.</param>
    /// <param name="time">Clock for waits.</param>
    /// <param name="logger">Log.</param>
    /// <param name="drives">The driven testers that are commanded by this broker; null where there is none.</param>
    public BrokerClient(BrokerAddress broker, ReadingDispatcher dispatcher, TimeProvider time, ILogger<BrokerClient> logger, IReadOnlyList<DriveChannel>? drives = null)
    {
        _broker = broker;
        _dispatcher = dispatcher;
        _time = time;
        _logger = logger;
        _drives = drives ?? [];
        _presence = broker?.StatusTopic is { } topic ? new(topic) : null;
    }

    /// <summary>Reads until cancelled.</summary>
    public async Task RunAsync(CancellationToken cancellationToken)
    {
        while (!cancellationToken.IsCancellationRequested)
        {
            State(ConnectionState.Connecting, _statedFault ?? $"connecting to {_broker}");
            try
            {
                var fault = await RunConnectionAsync(cancellationToken);
                State(ConnectionState.Down, fault);
                if (fault != _statedFault)
                {
                    Log.Fault(_logger, fault);
                    _statedFault = fault;
                }

                await Task.Delay(_backoff.Next(), _time, cancellationToken);
            }
            catch (OperationCanceledException) when (cancellationToken.IsCancellationRequested)
            {
                break;
            }
        }

        State(ConnectionState.Down, ReadingDispatcher.Stopping);
    }

    /// <returns>Why there is no connection, or no longer.</returns>
    private async Task<string> RunConnectionAsync(CancellationToken cancellationToken)
    {
        if (!BrokerIdentity.TryRead(_broker, _time, out var identity, out var mistake))
        {
            return mistake;
        }

        using (identity)
        {
            return await RunConnectionAsync(identity, cancellationToken);
        }
    }

    private async Task<string> RunConnectionAsync(BrokerIdentity identity, CancellationToken cancellationToken)
    {
        var lost = new TaskCompletionSource<MqttClientDisconnectReason>(TaskCreationOptions.RunContinuationsAsynchronously);
        using var client = CreateClient(lost, cancellationToken);
        var isConnected = false;
        try
        {
            var options = BrokerOptions.Connect(_broker, identity, _presence?.Message(online: false));
            var connected = await client.ConnectAsync(options, cancellationToken).WaitAsync(TimeSpan.FromSeconds(_broker.AnswerSeconds), _time, cancellationToken);
            if (connected.ResultCode != MqttClientConnectResultCode.Success)
            {
                return BrokerDiagnosis.ExplainRefusal(_broker, connected.ResultCode);
            }

            isConnected = true;
            var since = _time.GetTimestamp();
            Log.Connected(_logger, _broker, connected.IsSessionPresent);
            await WorkAsync(client, connected.SubscriptionIdentifiersAvailable, lost.Task, cancellationToken);
            if (_time.GetElapsedTime(since) >= SettledAfter)
            {
                _backoff.Reset();
            }

            return BrokerDiagnosis.ExplainLoss(_broker, await lost.Task);
        }
        catch (OperationCanceledException) when (cancellationToken.IsCancellationRequested)
        {
            await EndDrivesAsync(client);
            await SayGoodbyeAsync(client);
            throw;
        }
#pragma warning disable CA1031 // Sockets, TLS and the library throw many kinds; each means no connection, and the next attempt follows.
        catch (Exception exception)
#pragma warning restore CA1031
        {
            return isConnected && lost.Task.IsCompletedSuccessfully
                ? BrokerDiagnosis.ExplainLoss(_broker, lost.Task.Result)
                : identity.Trust.Refusal is { } refusal ? $"the certificate of {_broker} is not trusted: {refusal}"
                : BrokerDiagnosis.ExplainFailure(_broker, exception);
        }
    }

    // The publishers of one connection end with it; the commands of the next begin with the newest.
    private async Task WorkAsync(IMqttClient client, bool identifiers, Task lost, CancellationToken cancellationToken)
    {
        using var ending = CancellationTokenSource.CreateLinkedTokenSource(cancellationToken);
        var publishing = Task.WhenAll([AnnounceAsync(client, ending.Token), .. _drives.Select(drive => drive.RunAsync(client.PublishAsync, exception => Log.PublishFailed(_logger, exception, drive.TesterId), ending.Token))]);
        try
        {
            await HoldSubscriptionsAsync(client, identifiers, lost, cancellationToken);
        }
        finally
        {
            await ending.CancelAsync();
            await publishing.WaitAsync(DisconnectGrace, _time, CancellationToken.None).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }

    private async Task AnnounceAsync(IMqttClient client, CancellationToken cancellationToken)
    {
        if (_presence is null)
        {
            return;
        }

        try
        {
            var result = await client.PublishAsync(_presence.Message(online: true), cancellationToken);
            if (!result.IsSuccess)
            {
                Log.NotAnnounced(_logger, _broker.StatusTopic!, result.ReasonCode.ToString());
            }
        }
        catch (Exception exception) when (exception is OperationCanceledException or MqttCommunicationException or IOException or ObjectDisposedException or InvalidOperationException)
        {
            // The connection is lost; the next one says it again.
        }
    }

    private async Task EndDrivesAsync(IMqttClient client)
    {
        using var grace = new CancellationTokenSource(DisconnectGrace, _time);
        foreach (var drive in _drives)
        {
            await drive.EndAsync(client.PublishAsync, exception => Log.PublishFailed(_logger, exception, drive.TesterId), grace.Token);
        }
    }

    // One for each connection: nothing of a broken one is carried over but the session that the broker keeps.
    private IMqttClient CreateClient(TaskCompletionSource<MqttClientDisconnectReason> lost, CancellationToken cancellationToken)
    {
        var client = new MqttClientFactory().CreateMqttClient();
        client.DisconnectedAsync += args =>
        {
            lost.TrySetResult(args.Reason);
            return Task.CompletedTask;
        };
        client.ApplicationMessageReceivedAsync += message => TakeAsync(message, cancellationToken);
        return client;
    }

    // Always subscribes: a session that is present may have been made by an older configuration.
    private async Task HoldSubscriptionsAsync(IMqttClient client, bool identifiers, Task lost, CancellationToken cancellationToken)
    {
        var held = new HashSet<string>(StringComparer.Ordinal);
        while (true)
        {
            // What is held already stays as it is: subscribing again would bring retained messages again.
            var changed = _dispatcher.Changed;
            IReadOnlyList<ReadingDispatcher.Route> wanted = [.. _dispatcher.Routes.DistinctBy(route => route.Filter)];
            foreach (var gone in held.Except(wanted.Select(route => route.Filter), StringComparer.Ordinal).ToArray())
            {
                await client.UnsubscribeAsync(gone, cancellationToken);
                held.Remove(gone);
            }

            var refused = await SubscribeAsync(client, [.. wanted.Where(route => !held.Contains(route.Filter))], identifiers, cancellationToken);
            held.UnionWith(wanted.Select(route => route.Filter).Except(refused.Select(route => route.Filter), StringComparer.Ordinal));
            try
            {
                if (await Task.WhenAny(lost, changed).WaitAsync(refused.Count == 0 ? Timeout.InfiniteTimeSpan : SubscriptionRetry, _time, cancellationToken) == lost)
                {
                    return;
                }
            }
            catch (TimeoutException)
            {
                // Somebody may have given the permission in the meantime.
            }
        }
    }

    /// <returns>The subscriptions that the broker refused.</returns>
    private async Task<IReadOnlyList<ReadingDispatcher.Route>> SubscribeAsync(
        IMqttClient client, IReadOnlyList<ReadingDispatcher.Route> routes, bool identifiers, CancellationToken cancellationToken)
    {
        var refused = new List<(ReadingDispatcher.Route Route, string Text)>();
        foreach (var route in routes)
        {
            var result = await client.SubscribeAsync(BrokerOptions.Subscribe(route, identifiers), cancellationToken);
            var code = result.Items.First().ResultCode;
            if (code > MqttClientSubscribeResultCode.GrantedQoS2)
            {
                refused.Add((route, $"{_broker} refused the subscription '{route.Filter}' ({code}): give the user the right to read it"));
            }
        }

        _statedFault = null;
        State(ConnectionState.Up, $"connected to {_broker}");
        foreach (var (refusal, text) in refused)
        {
            Log.Fault(_logger, text);
            foreach (var route in _dispatcher.Routes.Where(route => route.Filter == refusal.Filter))
            {
                route.Inbox.SetConnection(ConnectionState.Down, text);
            }
        }

        return refused.ConvertAll(entry => entry.Route);
    }

    private async Task TakeAsync(MqttApplicationMessageReceivedEventArgs args, CancellationToken cancellationToken)
    {
        args.AutoAcknowledge = false;
        var message = args.ApplicationMessage;
        try
        {
            await _dispatcher.DispatchAsync(message.Topic ?? "", message.Payload, message.SubscriptionIdentifiers, message.Dup, cancellationToken);
            if (message.QualityOfServiceLevel != MqttQualityOfServiceLevel.AtMostOnce)
            {
                await args.AcknowledgeAsync(cancellationToken);
            }
        }
        catch (Exception exception) when (exception is OperationCanceledException or MqttCommunicationException or IOException or ObjectDisposedException)
        {
            // Not acknowledged: the broker sends it again on the next connection.
        }
#pragma warning disable CA1031 // A handler that throws would never acknowledge, and the same message would come on every connection.
        catch (Exception exception)
#pragma warning restore CA1031
        {
            Log.HandlerFailed(_logger, exception, JsonText.Shown(message.Topic ?? ""));
        }
    }

    // The session stays: what is published while the service restarts waits at the broker.
    private async Task SayGoodbyeAsync(IMqttClient client)
    {
        using var grace = new CancellationTokenSource(DisconnectGrace, _time);
        try
        {
            // A broker keeps the last will to itself after a proper goodbye.
            if (_presence is not null)
            {
                await client.PublishAsync(_presence.Message(online: false), grace.Token);
            }

            await client.DisconnectAsync(new MqttClientDisconnectOptions(), grace.Token);
        }
        catch (Exception exception) when (exception is OperationCanceledException or MqttCommunicationException or IOException or ObjectDisposedException or InvalidOperationException)
        {
            Log.GoodbyeFailed(_logger, exception, _broker);
        }
    }

    private void State(ConnectionState state, string text) => _dispatcher.SetConnection(state, text);

    private static partial class Log
    {
        [LoggerMessage(2200, LogLevel.Information, "Connected to {Broker}; session kept: {SessionPresent}")]
        public static partial void Connected(ILogger logger, BrokerAddress broker, bool sessionPresent);

        [LoggerMessage(2201, LogLevel.Warning, "{Fault}")]
        public static partial void Fault(ILogger logger, string fault);

        [LoggerMessage(2202, LogLevel.Error, "A message on {Topic} could not be read because of a mistake in this program")]
        public static partial void HandlerFailed(ILogger logger, Exception exception, string topic);

        [LoggerMessage(2204, LogLevel.Error, "Tester {Tester}: a command could not be published; without commands it cuts its heater by itself")]
        public static partial void PublishFailed(ILogger logger, Exception exception, string tester);

        [LoggerMessage(2205, LogLevel.Warning, "The broker took no word of the service on {Topic} ({Reason}): give the user the right to write it")]
        public static partial void NotAnnounced(ILogger logger, string topic, string reason);

        [LoggerMessage(2203, LogLevel.Debug, "Disconnecting from {Broker} failed")]
        public static partial void GoodbyeFailed(ILogger logger, Exception exception, BrokerAddress broker);
    }
}
