using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using Acquire.Service.Configuration;
using Acquire.Service.Lanes;
using Acquire.Service.Live;
using Acquire.Service.Sources.Mqtt;
using Microsoft.Extensions.Logging.Abstractions;
using MQTTnet.Protocol;
using MQTTnet.Server;
using Xunit;

namespace Acquire.Service.Tests.Sources.Mqtt;

public sealed class BrokerClientTests : IAsyncLifetime
{
    private const string Topic = "acquire/bench-1/readings";
    private readonly CancellationTokenSource _stop = new();
    private readonly LaneInbox _inbox = SourceSamples.Inbox();
    private readonly LaneInbox _other = SourceSamples.Inbox();
    private readonly List<IDisposable> _toDispose = [];
    private Task _running = Task.CompletedTask;

    public ValueTask InitializeAsync()
    {
        Mosquitto.SkipWithout("mosquitto");
        return ValueTask.CompletedTask;
    }

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        await _running;
        _toDispose.ForEach(one => one.Dispose());
        _stop.Dispose();
    }

    [Fact(Timeout = 60000)]
    public async Task Readings_published_after_a_restart_of_the_broker_arrive()
    {
        var token = TestContext.Current.CancellationToken;
        var broker = await StartBrokerAsync(token);
        _running = Client(broker.Port).RunAsync(_stop.Token);
        await SourceSamples.Until(IsUp, "the connection", token);
        await PublishAsync(broker.Port, 0, 50, token);
        await SourceSamples.Until(() => _inbox.Counters.Rows == 50, "the rows before", token);

        broker.Kill();
        await SourceSamples.Until(() => _inbox.Connection.State == ConnectionState.Down, "the loss", token);
        await SourceSamples.Until(() => _inbox.Connection.Text == $"nothing listens at mqtt://127.0.0.1:{broker.Port}: start the broker", "the diagnosis", token);
        await broker.StartAsync(token);
        await SourceSamples.Until(IsUp, "the connection again", token);
        await PublishAsync(broker.Port, 50, 50, token);

        await SourceSamples.Until(() => _inbox.Counters.Rows == 100, "the rows after", token);
        Assert.Equal(Enumerable.Range(0, 100).Select(i => (double)i), SourceSamples.Drain(_inbox).Select(row => row.AtSeconds));
    }

    [Fact(Timeout = 60000)]
    public async Task Readings_published_while_the_service_restarts_wait_at_the_broker()
    {
        var token = TestContext.Current.CancellationToken;
        var broker = await StartBrokerAsync(token);
        using (var first = new CancellationTokenSource())
        {
            var before = Client(broker.Port).RunAsync(first.Token);
            await SourceSamples.Until(IsUp, "the connection", token);
            await first.CancelAsync();
            await before;
        }

        await PublishAsync(broker.Port, 0, 100, token);
        Assert.Equal(0, _inbox.Counters.Rows);
        _running = Client(broker.Port).RunAsync(_stop.Token);

        await SourceSamples.Until(() => _inbox.Counters.Rows == 100, "the rows that waited", token);
        Assert.Equal(Enumerable.Range(0, 100).Select(i => (double)i), SourceSamples.Drain(_inbox).Select(row => row.AtSeconds));
    }

    [Fact(Timeout = 60000)]
    public async Task Readings_not_handed_over_at_the_stop_come_again()
    {
        var token = TestContext.Current.CancellationToken;
        var broker = await StartBrokerAsync(token);
        var small = SourceSamples.Inbox(16);
        using (var first = new CancellationTokenSource())
        {
            var before = Client(broker.Port, small).RunAsync(first.Token);
            await SourceSamples.Until(() => small.Connection.State == ConnectionState.Up, "the connection", token);
            await PublishAsync(broker.Port, 0, 100, token);
            await SourceSamples.Until(() => small.Counters.QueueFull > 0, "the full queue", token);
            await first.CancelAsync();
            await before;
        }

        var taken = SourceSamples.Drain(small).Count;
        _running = Client(broker.Port).RunAsync(_stop.Token);
        await SourceSamples.Until(() => taken + _inbox.Counters.Rows >= 100, "the rest", token);

        // A row may come twice after a broken connection; none may be missing.
        Assert.Equal(99, SourceSamples.Drain(_inbox)[^1].AtSeconds);
        Assert.Equal(16, taken);
    }

    [Fact(Timeout = 60000)]
    public async Task Overlapping_filters_of_two_testers_bring_each_message_once_to_each()
    {
        var token = TestContext.Current.CancellationToken;
        var broker = await StartBrokerAsync(token);
        var dispatcher = new ReadingDispatcher([(SourceSamples.Mqtt(SourceSamples.JsonTopic(Topic)), _inbox), (SourceSamples.Mqtt(SourceSamples.JsonTopic("acquire/+/readings")), _other)]);
        _running = Client(broker.Port, dispatcher).RunAsync(_stop.Token);
        await SourceSamples.Until(IsUp, "the connection", token);

        await PublishAsync(broker.Port, 0, 50, token);
        await SourceSamples.Until(() => _inbox.Counters.Rows >= 50 && _other.Counters.Rows >= 50, "the rows", token);
        await SourceSamples.Pause(0.3, token);

        Assert.Equal((50, 50), (_inbox.Counters.Rows, _other.Counters.Rows));
    }

    [Fact(Timeout = 60000)]
    public async Task Tester_that_comes_or_goes_is_subscribed_or_not_on_the_open_connection_and_the_other_gets_every_message()
    {
        var token = TestContext.Current.CancellationToken;
        var broker = await StartBrokerAsync(token);
        var dispatcher = new ReadingDispatcher([(SourceSamples.Mqtt(SourceSamples.JsonTopic(Topic)), _inbox)]);
        _running = Client(broker.Port, dispatcher).RunAsync(_stop.Token);
        await SourceSamples.Until(IsUp, "the connection", token);
        var other = new LaneInbox("b", 4096, TimeProvider.System);
        using var publisher = await Publisher.ConnectAsync(broker.Port, token);
        await publisher.SendAsync("later", "20", token, retain: true);

        dispatcher.Add(SourceSamples.Mqtt(SourceSamples.NumberTopic("later")), other);
        Assert.Equal(ConnectionState.Up, other.Connection.State);
        var sent = 0;
        while (other.Counters.Rows == 0)
        {
            await publisher.SendAsync(Topic, Row(sent++), token);
            await publisher.SendAsync("later", "21.5", token);
        }

        dispatcher.Remove(other.TesterId);
        await publisher.SendAsync("later", "99", token);
        await publisher.SendAsync(Topic, Row(sent++), token);
        await SourceSamples.Until(() => _inbox.Counters.Rows == sent, "every row of the other tester", token, () => $"{_inbox.Counters.Rows} of {sent}, the other {other.Counters}");

        Assert.Equal(0, _inbox.ConnectionsLost);
        Assert.DoesNotContain(SourceSamples.Drain(other), row => row.TemperatureCelsius is 99 or 20);
        Assert.Equal(sent, SourceSamples.Drain(_inbox).Count);
    }

    [Fact(Timeout = 60000)]
    public async Task Retained_message_is_not_taken_for_a_new_reading()
    {
        var token = TestContext.Current.CancellationToken;
        var broker = await StartBrokerAsync(token);
        using (var publisher = await Publisher.ConnectAsync(broker.Port, token))
        {
            await publisher.SendAsync(Topic, Row(1), token, retain: true);
        }

        _running = Client(broker.Port).RunAsync(_stop.Token);
        await SourceSamples.Until(IsUp, "the connection", token);
        await PublishAsync(broker.Port, 2, 1, token);
        await SourceSamples.Until(() => _inbox.Counters.Rows > 0, "the new row", token);

        Assert.Equal(2, Assert.Single(SourceSamples.Drain(_inbox)).AtSeconds);
    }

    [Fact(Timeout = 60000)]
    public async Task Malformed_message_is_acknowledged_and_counted_once()
    {
        var token = TestContext.Current.CancellationToken;
        var broker = await StartBrokerAsync(token);
        _running = Client(broker.Port).RunAsync(_stop.Token);
        await SourceSamples.Until(IsUp, "the connection", token);
        using var publisher = await Publisher.ConnectAsync(broker.Port, token);

        await publisher.SendAsync(Topic, "poison", token);
        await publisher.SendAsync(Topic, Row(1), token);
        await SourceSamples.Until(() => _inbox.Counters.Rows == 1, "the row after the poison", token);
        await _stop.CancelAsync();
        await _running;
        using var again = new CancellationTokenSource();
        var running = Client(broker.Port).RunAsync(again.Token);
        await SourceSamples.Until(IsUp, "the connection again", token);
        await SourceSamples.Pause(0.3, token);
        await again.CancelAsync();
        await running;

        Assert.Equal((1, 1), (_inbox.Counters.Rows, _inbox.Counters.Malformed));
    }

    [Fact(Timeout = 60000)]
    public async Task Refused_user_says_what_to_check()
    {
        var token = TestContext.Current.CancellationToken;
        var strict = new Mosquitto("allow_anonymous false");
        _toDispose.Add(strict);
        await strict.StartAsync(token);
        _running = Client(strict.Port).RunAsync(_stop.Token);

        await SourceSamples.Until(() => _inbox.Connection.Text == $"mqtt://127.0.0.1:{strict.Port} refused the user: check user and password in mqtt.connection", "the refusal", token);
        Assert.NotEqual(ConnectionState.Up, _inbox.Connection.State);
    }

    [Fact(Timeout = 60000)]
    public async Task Refused_subscription_is_stated_at_its_tester_and_the_other_goes_on()
    {
        var token = TestContext.Current.CancellationToken;
        var port = Mosquitto.FreePort();
        using var server = new MqttServerFactory().CreateMqttServer(new MqttServerOptionsBuilder().WithDefaultEndpoint().WithDefaultEndpointPort(port).Build());
        server.InterceptingSubscriptionAsync += args =>
        {
            args.ProcessSubscription = args.TopicFilter.Topic != "secret";
            args.Response.ReasonCode = args.ProcessSubscription ? args.Response.ReasonCode : MqttSubscribeReasonCode.NotAuthorized;
            return Task.CompletedTask;
        };
        await server.StartAsync();
        var dispatcher = new ReadingDispatcher([(SourceSamples.Mqtt(SourceSamples.JsonTopic(Topic)), _inbox), (SourceSamples.Mqtt(SourceSamples.JsonTopic("secret")), _other)]);
        _running = Client(port, dispatcher).RunAsync(_stop.Token);

        await SourceSamples.Until(() => _other.Connection.State == ConnectionState.Down, "the refusal", token);
        await PublishAsync(port, 0, 1, token);
        await SourceSamples.Until(() => _inbox.Counters.Rows == 1, "the row of the other", token);

        Assert.Equal($"mqtt://127.0.0.1:{port} refused the subscription 'secret' (NotAuthorized): give the user the right to read it", _other.Connection.Text);
        Assert.True(IsUp());
        await _stop.CancelAsync();
        await _running;
    }

    [Fact(Timeout = 60000)]
    public async Task Broker_with_a_certificate_that_nobody_vouches_for_is_refused()
    {
        var token = TestContext.Current.CancellationToken;
        var broker = new Mosquitto("allow_anonymous true\ncertfile FOLDER/cert.pem\nkeyfile FOLDER/key.pem");
        _toDispose.Add(broker);
        using (var key = RSA.Create(2048))
        {
            var request = new CertificateRequest("CN=127.0.0.1", key, HashAlgorithmName.SHA256, RSASignaturePadding.Pkcs1);
            var now = TimeProvider.System.GetUtcNow();
            using var certificate = request.CreateSelfSigned(now.AddDays(-1), now.AddDays(1));
            await File.WriteAllTextAsync(Path.Combine(broker.Folder, "cert.pem"), certificate.ExportCertificatePem(), token);
            await File.WriteAllTextAsync(Path.Combine(broker.Folder, "key.pem"), key.ExportPkcs8PrivateKeyPem(), token);
        }

        await broker.StartAsync(token);
        _running = Client(broker.Port, new ReadingDispatcher([(SourceSamples.Mqtt(SourceSamples.JsonTopic(Topic)), _inbox)]), "mqtts").RunAsync(_stop.Token);

        await SourceSamples.Until(() => _inbox.Connection.Text?.StartsWith($"the certificate of mqtts://127.0.0.1:{broker.Port} is not trusted", StringComparison.Ordinal) == true, "the refusal", token);
        Assert.NotEqual(ConnectionState.Up, _inbox.Connection.State);
    }

    [Fact(Timeout = 60000)]
    public async Task Second_program_with_the_same_client_id_is_named()
    {
        var token = TestContext.Current.CancellationToken;
        var broker = await StartBrokerAsync(token);
        _running = Client(broker.Port).RunAsync(_stop.Token);
        await SourceSamples.Until(IsUp, "the connection", token);
        using var secondStop = new CancellationTokenSource();
        var second = Client(broker.Port, _other).RunAsync(secondStop.Token);

        await SourceSamples.Until(
            () => _inbox.Connection.Text?.Contains("client id 'acquire-test': give each its own", StringComparison.Ordinal) == true, "the diagnosis", token);

        await secondStop.CancelAsync();
        await second;
    }

    private async Task<Mosquitto> StartBrokerAsync(CancellationToken cancellationToken)
    {
        var broker = new Mosquitto();
        _toDispose.Add(broker);
        await broker.StartAsync(cancellationToken);
        return broker;
    }

    private BrokerClient Client(int port, LaneInbox? inbox = null) =>
        Client(port, new ReadingDispatcher([(SourceSamples.Mqtt(SourceSamples.JsonTopic(Topic)), inbox ?? _inbox)]));

    private static BrokerClient Client(int port, ReadingDispatcher dispatcher, string scheme = "mqtt")
    {
        var config = SourceSamples.Config($$"""{ "mqtt": { "mode": "external", "connection": "{{scheme}}://127.0.0.1:{{port}}?clientId=acquire-test" } }""");
        return new(((MqttConfig.External)config.Mqtt).Connection, dispatcher, TimeProvider.System, NullLogger<BrokerClient>.Instance);
    }

    private static async Task PublishAsync(int port, int from, int count, CancellationToken cancellationToken)
    {
        using var publisher = await Publisher.ConnectAsync(port, cancellationToken);
        for (var i = from; i < from + count; i++)
        {
            await publisher.SendAsync(Topic, Row(i), cancellationToken);
        }
    }

    private static string Row(int seconds) => $$"""{"time_s":{{seconds}},"temperature_c":100}""";

    private bool IsUp() => _inbox.Connection.State == ConnectionState.Up;
}
