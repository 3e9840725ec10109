using System.Buffers;
using System.Collections.Concurrent;
using System.Net;
using Acquire.Core.Control;
using Acquire.Service.Configuration;
using Acquire.Service.Lanes;
using Acquire.Service.Lanes.Driving;
using Acquire.Service.Live;
using Acquire.Service.Sources.Mqtt;
using Microsoft.Extensions.Logging.Abstractions;
using MQTTnet;
using MQTTnet.Formatter;
using MQTTnet.Protocol;
using Xunit;

namespace Acquire.Service.Tests.Sources.Mqtt;

public sealed class MqttDriveTests : IAsyncLifetime
{
    private const string Topic = "acquire/bench-1/drive";
    private readonly CancellationTokenSource _stop = new();
    private readonly LaneInbox _inbox = SourceSamples.Inbox();
    private readonly DriveOutlet _outlet = new(TimeProvider.System);
    private readonly ConcurrentQueue<MqttApplicationMessage> _messages = [];
    private readonly List<IDisposable> _toDispose = [];
    private Task _running = Task.CompletedTask;

    public ValueTask InitializeAsync() => ValueTask.CompletedTask;

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        await _running;
        _toDispose.ForEach(one => one.Dispose());
        _stop.Dispose();
    }

    [Fact(Timeout = 60000)]
    public async Task The_embedded_broker_hands_commands_to_the_tester_and_takes_none_from_anybody_else()
    {
        var token = TestContext.Current.CancellationToken;
        var port = Mosquitto.FreePort();
        await StartEmbeddedAsync(port);
        using var stranger = await Publisher.ConnectAsync(port, token);
        await ListenAsync(port, token);

        await stranger.SendAsync(Topic, DriveText.ToJson(Command(99)), token);
        await stranger.SendAsync(Topic, DriveText.ToJson(Command(98)), token, retain: true);
        await CommandedAsync(1, token);
        await _stop.CancelAsync();
        await _running;

        await SourceSamples.Until(() => _messages.Count == 4, "the last commands", token);
        AssertCommands(1);
        Assert.Equal(0, _inbox.Counters.Malformed);
    }

    [Fact(Timeout = 60000)]
    public async Task A_broker_elsewhere_hands_commands_to_the_tester_too_and_they_go_on_after_an_outage()
    {
        var token = TestContext.Current.CancellationToken;
        Mosquitto.SkipWithout("mosquitto");
        using var broker = new Mosquitto();
        await broker.StartAsync(token);
        var address = ((MqttConfig.External)SourceSamples.Config($$"""{ "mqtt": { "mode": "external", "connection": "mqtt://127.0.0.1:{{broker.Port}}" } }""").Mqtt).Connection;
        _running = new BrokerClient(address, Dispatcher(), TimeProvider.System, NullLogger<BrokerClient>.Instance, Drives()).RunAsync(_stop.Token);
        await SourceSamples.Until(() => _inbox.Connection.State == ConnectionState.Up, "the connection", token);
        await ListenAsync(broker.Port, token);
        await CommandedAsync(1, token);
        broker.Kill();
        await SourceSamples.Until(() => _inbox.Connection.State == ConnectionState.Down, "the loss", token);
        _outlet.Post(Command(2));
        await broker.StartAsync(token);
        await SourceSamples.Until(() => _inbox.Connection.State == ConnectionState.Up, "the connection again", token);
        _messages.Clear();
        await ListenAsync(broker.Port, token);
        await CommandedAsync(7, token);

        await _stop.CancelAsync();
        await _running;

        await SourceSamples.Until(() => _messages.Count == 4, "the last commands", token);
        AssertCommands(7);
    }

    private static DriveCommand Command(long sequence) => new(sequence, 1500, 0.375, true, false);

    private DriveChannel[] Drives() => [new("bench-1", Topic, _outlet)];

    private ReadingDispatcher Dispatcher() => new([(SourceSamples.Mqtt(SourceSamples.JsonTopic("acquire/bench-1/readings")), _inbox)]);

    private async Task StartEmbeddedAsync(int port)
    {
        var broker = new EmbeddedBroker(new(IPAddress.Loopback, port), Dispatcher(), TimeProvider.System, NullLogger<EmbeddedBroker>.Instance, Drives());
        _running = broker.RunAsync(_stop.Token);
        await broker.FirstAttempt;
    }

    private async Task ListenAsync(int port, CancellationToken cancelled)
    {
        var client = new MqttClientFactory().CreateMqttClient();
        _toDispose.Add(client);
        client.ApplicationMessageReceivedAsync += message =>
        {
            _messages.Enqueue(message.ApplicationMessage);
            return Task.CompletedTask;
        };
        await client.ConnectAsync(new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", port).WithProtocolVersion(MqttProtocolVersion.V500).Build(), cancelled);
        await client.SubscribeAsync(Topic, MqttQualityOfServiceLevel.AtLeastOnce, cancelled);
    }

    private async Task CommandedAsync(long sequence, CancellationToken cancelled)
    {
        _outlet.Post(Command(sequence));
        await SourceSamples.Until(() => !_messages.IsEmpty, "the command", cancelled);
    }

    private void AssertCommands(long first)
    {
        var commands = _messages.Select(message => DriveText.TryParseJson(message.Payload.ToArray(), out var command, out _) ? command : null).ToArray();
        Assert.Equal([first, first + 1, first + 2, first + 3], commands.Select(command => command!.Sequence));
        Assert.Equal(Command(first), commands[0]);
        Assert.All(commands[1..], command => Assert.True(command!.IsSafe));
        Assert.All(_messages, message => Assert.Equal((MqttQualityOfServiceLevel.AtMostOnce, false), (message.QualityOfServiceLevel, message.Retain)));
        Assert.All(_messages, message => Assert.InRange(message.MessageExpiryInterval, 1u, DriveChannel.ExpirySeconds));
    }
}
