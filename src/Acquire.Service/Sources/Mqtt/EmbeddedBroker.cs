using System.Globalization;
using System.Net;
using System.Net.Sockets;
using Acquire.Service.Configuration;
using Acquire.Service.Live;
using MQTTnet;
using MQTTnet.Formatter;
using MQTTnet.Protocol;
using MQTTnet.Server;

namespace Acquire.Service.Sources.Mqtt;

/// <summary>A broker inside the service, bound to loopback unless it has a certificate and accounts. Readings leave it where a publisher's message comes in; no client is in between.</summary>
/// <remarks>While an inbox is full the publisher is not read from: TCP holds it back and nothing is dropped.</remarks>
public sealed partial class EmbeddedBroker
{
    private static readonly TimeSpan LastGrace = TimeSpan.FromSeconds(1);
    private static readonly TimeSpan SendStep = TimeSpan.FromMilliseconds(10);
    private static readonly TimeSpan SendTime = TimeSpan.FromMilliseconds(100);

    private readonly MqttConfig.Embedded _config;
    private readonly ReadingDispatcher _dispatcher;
    private readonly IReadOnlyList<DriveChannel> _drives;
    private readonly HashSet<string> _driveTopics;

    // Nobody can connect under a name that cannot be guessed.
    private readonly string _driveSender = $"acquire-drive-{Guid.NewGuid():N}";
    private readonly BrokerGuard _guard;
    private readonly RefusalPace _refusals;
    private readonly TimeProvider _time;
    private readonly ILogger _logger;
    private readonly Backoff _backoff = new(Random.Shared);
    private readonly TaskCompletionSource _firstAttempt = new(TaskCreationOptions.RunContinuationsAsynchronously);

    /// <param name="config">Address, port, certificate and accounts.</param>
    /// <param name="dispatcher">Takes the messages.</param>
    /// <param name="time">Clock for waits.</param>
    /// <param name="logger">Log.</param>
    /// <param name="drives">The driven testers that are commanded by this broker; null where there is none.</param>
    public EmbeddedBroker(MqttConfig.Embedded config, ReadingDispatcher dispatcher, TimeProvider time, ILogger<EmbeddedBroker> logger, IReadOnlyList<DriveChannel>? drives = null)
    {
        ArgumentNullException.ThrowIfNull(config);
        ArgumentNullException.ThrowIfNull(dispatcher);
        _config = config;
        _guard = new(config.Accounts);
        _dispatcher = dispatcher;
        _time = time;
        _refusals = new(time);
        _logger = logger;
        _drives = drives ?? [];
        _driveTopics = [.. _drives.Select(drive => drive.Topic)];
    }

    /// <summary>Ends when the broker listens or its first attempt has failed.</summary>
    public Task FirstAttempt => _firstAttempt.Task;

    /// <summary>Listens until cancelled; tries again while the port is taken, without touching testers on other wires.</summary>
    public async Task RunAsync(CancellationToken cancellationToken)
    {
        string? statedFault = null;
        while (!cancellationToken.IsCancellationRequested)
        {
            string? fault;
            try
            {
                fault = await ListenAsync(cancellationToken);
            }
            finally
            {
                // Whatever came of it: the start of the service waits for this.
                _firstAttempt.TrySetResult();
            }

            if (fault is null)
            {
                break;
            }

            State(ConnectionState.Down, fault);
            if (fault != statedFault)
            {
                Log.CannotListen(_logger, fault);
                statedFault = fault;
            }

            await Task.Delay(_backoff.Next(), _time, cancellationToken).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }

        State(ConnectionState.Down, ReadingDispatcher.Stopping);
    }

    /// <returns>Why the broker cannot listen; null after it was cancelled.</returns>
    private async Task<string?> ListenAsync(CancellationToken cancellationToken)
    {
        if (BrokerEndpoint.WhyNot(_config) is { } open)
        {
            return open;
        }

        if (!BrokerEndpoint.TryOptions(_config, out var options, out var certificates, out var mistake))
        {
            return mistake;
        }

        using var server = new MqttServerFactory().CreateMqttServer(options);
        server.ValidatingConnectionAsync += AdmitAsync;
        server.InterceptingSubscriptionAsync += SubscribeAsync;
        server.InterceptingPublishAsync += message => TakeAsync(message, cancellationToken);
        try
        {
            await server.StartAsync();
        }
        catch (SocketException exception)
        {
            return exception.SocketErrorCode == SocketError.AddressAlreadyInUse
                ? string.Create(CultureInfo.InvariantCulture, $"mqtt.port: {_config.Port} on {_config.Address} is in use by another program; end it, give another port, or use that broker with \"mode\": \"external\"")
                : $"mqtt.port: {_config.Port} on {_config.Address} cannot be opened: {exception.Message}";
        }

        Log.Listening(_logger, _config.Address, _config.Port);
        State(ConnectionState.Up, string.Create(CultureInfo.InvariantCulture, $"broker listens on {_config.Address}:{_config.Port}"));
        _firstAttempt.TrySetResult();
        var driving = DriveAsync(server, cancellationToken);
        await Task.Delay(Timeout.InfiniteTimeSpan, _time, cancellationToken).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        await driving;
        await server.StopAsync(new MqttServerStopOptions());
        foreach (var certificate in certificates)
        {
            certificate.Dispose();
        }

        return null;
    }

    private Task AdmitAsync(ValidatingConnectionEventArgs connection)
    {
        if (!_guard.Admits(connection.UserName, connection.Password))
        {
            connection.ReasonCode = MqttConnectReasonCode.BadUserNameOrPassword;
            var user = JsonText.Shown(connection.UserName ?? "");
            if (_refusals.IsDue($"user {Host(connection.RemoteEndPoint)} {user}", out var leftOut))
            {
                Log.Refused(_logger, connection.RemoteEndPoint, user, leftOut);
            }
        }

        // MQTT 5 lets a publisher leave its name to the broker. The library cannot do that for MQTT 3.1.1 and refuses.
        if (string.IsNullOrEmpty(connection.ClientId))
        {
            connection.AssignedClientIdentifier = $"publisher-{Guid.NewGuid():N}";
            if (connection.ProtocolVersion != MqttProtocolVersion.V500 && _refusals.IsDue($"nameless {Host(connection.RemoteEndPoint)}", out var leftOut))
            {
                Log.NamelessPublisher(_logger, connection.RemoteEndPoint, leftOut);
            }
        }

        return Task.CompletedTask;
    }

    private Task SubscribeAsync(InterceptingSubscriptionEventArgs wish)
    {
        if (!_guard.MaySubscribe(wish.UserName, wish.TopicFilter.Topic))
        {
            wish.ProcessSubscription = false;
            wish.Response.ReasonCode = MqttSubscribeReasonCode.NotAuthorized;
            SayNotForThem(wish.UserName, "read", wish.TopicFilter.Topic);
        }

        return Task.CompletedTask;
    }

    private Task PublishAsync(MqttServer server, MqttApplicationMessage message, CancellationToken cancellationToken) =>
        server.InjectApplicationMessage(new InjectedMqttApplicationMessage(message) { SenderClientId = _driveSender }, cancellationToken);

    private async Task DriveAsync(MqttServer server, CancellationToken cancellationToken)
    {
        await Task.WhenAll(_drives.Select(drive => drive.RunAsync((message, token) => PublishAsync(server, message, token), exception => Log.PublishFailed(_logger, exception, drive.TesterId), cancellationToken)));
        using var grace = new CancellationTokenSource(LastGrace, _time);
        foreach (var drive in _drives)
        {
            await drive.EndAsync((message, token) => PublishAsync(server, message, token), exception => Log.PublishFailed(_logger, exception, drive.TesterId), grace.Token);
        }

        if (_drives.Count > 0)
        {
            await SentAsync(server, grace.Token);
        }
    }

    // The server hands a message to its sessions and ends them without looking whether it was sent.
    private async Task SentAsync(MqttServer server, CancellationToken limit)
    {
        try
        {
            while ((await server.GetSessionsAsync()).Any(session => session.PendingApplicationMessagesCount > 0))
            {
                await Task.Delay(SendStep, _time, limit);
            }

            // The newest of them is under way.
            await Task.Delay(SendTime, _time, limit);
        }
        catch (OperationCanceledException)
        {
            // A client that takes nothing holds up nobody; it cuts its heater by itself.
        }
    }

    private async Task TakeAsync(InterceptingPublishEventArgs message, CancellationToken cancellationToken)
    {
        if (_driveTopics.Contains(message.ApplicationMessage.Topic ?? ""))
        {
            // Only this service commands a tester: what anybody else publishes there reaches nobody.
            message.ProcessPublish = message.ClientId == _driveSender;
            if (!message.ProcessPublish)
            {
                var client = JsonText.Shown(message.ClientId);
                if (_refusals.IsDue($"command {client} {message.ApplicationMessage.Topic}", out var leftOut))
                {
                    Log.ForeignCommand(_logger, client, message.ApplicationMessage.Topic!, leftOut);
                }
            }

            return;
        }

        if (!_guard.MayPublish(message.UserName, message.ApplicationMessage.Topic ?? ""))
        {
            message.ProcessPublish = false;
            message.Response.ReasonCode = MqttPubAckReasonCode.NotAuthorized;
            SayNotForThem(message.UserName, "publish on", message.ApplicationMessage.Topic ?? "");
            return;
        }

        try
        {
            await _dispatcher.DispatchAsync(message.ApplicationMessage.Topic ?? "", message.ApplicationMessage.Payload, null, message.ApplicationMessage.Dup, cancellationToken);
        }
        catch (OperationCanceledException)
        {
            // Not handed over, so not acknowledged: the publisher keeps it and sends it again.
            message.ProcessPublish = false;
            message.CloseConnection = true;
        }
#pragma warning disable CA1031 // A handler that throws would leave the publisher's session in an undefined state.
        catch (Exception exception)
#pragma warning restore CA1031
        {
            Log.HandlerFailed(_logger, exception, JsonText.Shown(message.ApplicationMessage.Topic ?? ""));
        }
    }

    private void SayNotForThem(string? user, string wish, string topic)
    {
        var (name, shown) = (JsonText.Shown(user ?? ""), JsonText.Shown(topic));
        if (_refusals.IsDue($"{wish} {name} {shown}", out var leftOut))
        {
            Log.NotForThem(_logger, name, wish, shown, leftOut);
        }
    }

    // Each connection comes from another port.
    private static string Host(EndPoint? from) => from is IPEndPoint internet ? internet.Address.ToString() : from?.ToString() ?? "";

    private void State(ConnectionState state, string text) => _dispatcher.SetConnection(state, text);

    private static partial class Log
    {
        [LoggerMessage(2100, LogLevel.Information, "MQTT broker listens on {Address}:{Port}")]
        public static partial void Listening(ILogger logger, IPAddress address, int port);

        [LoggerMessage(2101, LogLevel.Error, "The MQTT broker cannot listen, testers on MQTT deliver nothing; tried again until it can. {Fault}")]
        public static partial void CannotListen(ILogger logger, string fault);

        [LoggerMessage(2102, LogLevel.Error, "A message on {Topic} could not be read because of a mistake in this program")]
        public static partial void HandlerFailed(ILogger logger, Exception exception, string topic);

        [LoggerMessage(2104, LogLevel.Error, "Tester {Tester}: a command could not be published; without commands it cuts its heater by itself")]
        public static partial void PublishFailed(ILogger logger, Exception exception, string tester);

        [LoggerMessage(2105, LogLevel.Warning, "Client {Client} published on {Topic}, where only this service commands a tester; it was refused{LeftOut}")]
        public static partial void ForeignCommand(ILogger logger, string client, string topic, string leftOut);

        [LoggerMessage(2106, LogLevel.Warning, "Somebody at {EndPoint} was refused: user '{User}' is not known, or the password is wrong{LeftOut}")]
        public static partial void Refused(ILogger logger, EndPoint endPoint, string user, string leftOut);

        [LoggerMessage(2107, LogLevel.Warning, "User '{User}' may not {Wish} {Topic}; it was refused. Who may do what stands in mqtt.accounts{LeftOut}")]
        public static partial void NotForThem(ILogger logger, string user, string wish, string topic, string leftOut);

        [LoggerMessage(2103, LogLevel.Warning, "A publisher at {EndPoint} was refused: it speaks MQTT 3.1.1 and gave no client id. Give it one, or let it speak MQTT 5{LeftOut}")]
        public static partial void NamelessPublisher(ILogger logger, EndPoint endPoint, string leftOut);
    }
}
