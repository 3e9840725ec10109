using System.Net;
using Acquire.Service.Configuration;
using Acquire.Service.Lanes;
using Acquire.Service.Live;
using Acquire.Service.Sources.Mqtt;
using Microsoft.Extensions.Logging.Abstractions;
using MQTTnet;
using MQTTnet.Exceptions;
using Xunit;

namespace Acquire.Service.Tests.Sources.Mqtt;

/// <summary>The embedded broker with accounts, permissions and TLS.</summary>
public sealed class BrokerGuardTests : IAsyncLifetime
{
    private static readonly BrokerAccount[] Accounts =
    [
        new("bench-1", "correct-horse", ["acquire/bench-1/#"], ["acquire/bench-1/drive"]),
        new("reader", "battery-staple", [], ["acquire/+/readings"]),
    ];

    private readonly CancellationTokenSource _stop = new();
    private readonly LaneInbox _inbox = SourceSamples.Inbox();
    private readonly TestAuthority _authority = new();
    private readonly string _folder = TestFolders.Make("acquire-guard-");
    private readonly int _port = Mosquitto.FreePort();
    private Task _running = Task.CompletedTask;

    public ValueTask InitializeAsync()
    {
        _authority.WriteRoot(_folder);
        _authority.Write(_folder, "broker");
        return ValueTask.CompletedTask;
    }

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        await _running;
        _stop.Dispose();
        _authority.Dispose();
    }

    [Fact(Timeout = 30000)]
    public async Task Account_publishes_where_it_may_over_TLS()
    {
        var token = TestContext.Current.CancellationToken;
        await StartAsync(Secured());
        using var publisher = await Publisher.ConnectAsync(_port, "bench-1", "correct-horse", token, CaFile);

        var sent = await publisher.SendAsync(ExternalBench.Topic, ExternalBench.Row(1), token);

        Assert.True(sent.IsSuccess);
        Assert.Equal(1, _inbox.Counters.Rows);
    }

    [Theory(Timeout = 30000)]
    [InlineData("bench-1", "wrong-horse")]
    [InlineData("bench-1", "")]
    [InlineData("nobody", "correct-horse")]
    [InlineData("", "")]
    public async Task Wrong_password_and_unknown_user_are_refused(string user, string password)
    {
        var token = TestContext.Current.CancellationToken;
        await StartAsync(Secured());

        MqttClientConnectResultCode? code;
        try
        {
            using var publisher = await Publisher.ConnectAsync(_port, user, password, token, CaFile);
            code = publisher.Connected!.ResultCode;
        }
        catch (MqttCommunicationException)
        {
            code = null;
        }

        Assert.NotEqual(MqttClientConnectResultCode.Success, code);
    }

    [Fact(Timeout = 30000)]
    public async Task Topic_of_another_is_refused_and_never_read()
    {
        var token = TestContext.Current.CancellationToken;
        await StartAsync(Secured());
        using var publisher = await Publisher.ConnectAsync(_port, "reader", "battery-staple", token, CaFile);

        var sent = await publisher.SendAsync(ExternalBench.Topic, ExternalBench.Row(1), token);

        Assert.Equal(MqttClientPublishReasonCode.NotAuthorized, sent.ReasonCode);
        Assert.Equal((0, 0), (_inbox.Counters.Rows, _inbox.Counters.Malformed));
    }

    [Theory(Timeout = 30000)]
    [InlineData("bench-1", "correct-horse", 1)]
    [InlineData("reader", "battery-staple", 0)]
    public async Task Last_will_is_published_only_where_its_account_may(string user, string password, int read)
    {
        var token = TestContext.Current.CancellationToken;
        await StartAsync(Secured());
        (await Publisher.ConnectAsync(_port, user, password, token, CaFile, willTopic: ExternalBench.Topic)).Dispose();

        await SourceSamples.Pause(1, token);

        // The will is a word that is no reading: it is refused and counted where it gets through.
        Assert.Equal((0, read), (_inbox.Counters.Rows, _inbox.Counters.Malformed));
    }

    [Theory(Timeout = 30000)]
    [InlineData("acquire/bench-2/readings", true)]
    [InlineData("acquire/+/readings", true)]
    [InlineData("acquire/bench-1/drive", false)]
    [InlineData("acquire/#", false)]
    [InlineData("#", false)]
    public async Task Account_reads_what_it_may_and_nothing_else(string filter, bool may)
    {
        var token = TestContext.Current.CancellationToken;
        await StartAsync(Secured());
        using var reader = await Publisher.ConnectAsync(_port, "reader", "battery-staple", token, CaFile);

        Assert.Equal(may ? MqttClientSubscribeResultCode.GrantedQoS1 : MqttClientSubscribeResultCode.NotAuthorized, await reader.SubscribeAsync(filter, token));
    }

    [Fact(Timeout = 30000)]
    public async Task Who_speaks_without_TLS_is_not_heard()
    {
        var token = TestContext.Current.CancellationToken;
        await StartAsync(Secured());

        using var limit = CancellationTokenSource.CreateLinkedTokenSource(token);
        limit.CancelAfter(TimeSpan.FromSeconds(3));
        await Assert.ThrowsAnyAsync<Exception>(() => Publisher.ConnectAsync(_port, "bench-1", "correct-horse", limit.Token));

        Assert.Equal(ConnectionState.Up, _inbox.Connection.State);
    }

    [Theory(Timeout = 30000)]
    [InlineData(false, false)]
    [InlineData(true, false)]
    [InlineData(false, true)]
    public async Task Broker_does_not_start_open_to_the_network_whoever_asks_it_to(bool tls, bool accounts)
    {
        await StartAsync(new(IPAddress.Any, _port, tls ? Files : null, accounts ? Accounts : null));

        Assert.Equal(ConnectionState.Down, _inbox.Connection.State);
        Assert.Contains("the broker does not start on 0.0.0.0 without \"tls\" and \"accounts\": anyone on the network could send readings", _inbox.Connection.Text, StringComparison.Ordinal);
        using var probe = new System.Net.Sockets.TcpClient();
        await Assert.ThrowsAsync<System.Net.Sockets.SocketException>(() => probe.ConnectAsync(IPAddress.Loopback, _port, TestContext.Current.CancellationToken).AsTask());
    }

    [Theory]
    [InlineData("a/#", "a", true)]
    [InlineData("a/#", "a/b/#", true)]
    [InlineData("a/+", "a/b", true)]
    [InlineData("a/+", "a/#", false)]
    [InlineData("a/b", "a/+", false)]
    [InlineData("a/+/c", "a/+/c", true)]
    [InlineData("a", "a/b", false)]
    [InlineData("a/b", "a", false)]
    [InlineData("#", "$SYS/x", false)]
    [InlineData("+/x", "$SYS/x", false)]
    [InlineData("$SYS/#", "$SYS/x", true)]
    public void Filter_covers_another_where_every_topic_of_it_matches(string wide, string narrow, bool covers) => Assert.Equal(covers, TopicFilter.Covers(wide, narrow));

    private string CaFile => Path.Combine(_folder, "ca.pem");

    private CertificateFiles Files => new(Path.Combine(_folder, "broker.pem"), Path.Combine(_folder, "broker.key"));

    private MqttConfig.Embedded Secured() => new(IPAddress.Any, _port, Files, Accounts);

    private async Task StartAsync(MqttConfig.Embedded config)
    {
        var broker = new EmbeddedBroker(config, new([(SourceSamples.Mqtt(SourceSamples.JsonTopic(ExternalBench.Topic)), _inbox)]), TimeProvider.System, NullLogger<EmbeddedBroker>.Instance);
        _running = broker.RunAsync(_stop.Token);
        await broker.FirstAttempt;
        await SourceSamples.Until(() => _inbox.Connection.State != ConnectionState.Connecting, "the first attempt", TestContext.Current.CancellationToken);
    }
}
