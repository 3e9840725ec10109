using System.Diagnostics;
using System.Globalization;
using System.Net;
using System.Net.Sockets;
using Acquire.Service.Configuration;
using Acquire.Service.Lanes;
using Acquire.Service.Live;
using Acquire.Service.Sources.Mqtt;
using Acquire.Service.Tests.Sources.Serial;
using Microsoft.Extensions.Logging;
using MQTTnet.Formatter;
using MQTTnet.Protocol;
using Xunit;

namespace Acquire.Service.Tests.Sources.Mqtt;

public sealed class EmbeddedBrokerTests : IAsyncLifetime
{
    private readonly CancellationTokenSource _stop = new();
    private readonly LaneInbox _inbox = SourceSamples.Inbox();
    private readonly LaneInbox _other = SourceSamples.Inbox(16);
    private readonly int _port = Mosquitto.FreePort();
    private readonly Log _log = new();
    private Task _running = Task.CompletedTask;

    public async ValueTask InitializeAsync()
    {
        var broker = Broker(new([(SourceSamples.Mqtt(SourceSamples.JsonTopic("acquire/bench-1/readings")), _inbox), (SourceSamples.Mqtt(SourceSamples.NumberTopic("acquire/+/temperature")), _other)]));
        _running = broker.RunAsync(_stop.Token);
        await broker.FirstAttempt;
    }

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        await _running;
        _stop.Dispose();
    }

    [Theory(Timeout = 30000)]
    [InlineData(MqttProtocolVersion.V311, MqttQualityOfServiceLevel.AtMostOnce)]
    [InlineData(MqttProtocolVersion.V311, MqttQualityOfServiceLevel.AtLeastOnce)]
    [InlineData(MqttProtocolVersion.V500, MqttQualityOfServiceLevel.AtLeastOnce)]
    public async Task Published_rows_reach_the_inbox_in_order(MqttProtocolVersion version, MqttQualityOfServiceLevel quality)
    {
        using var publisher = await Publisher.ConnectAsync(_port, TestContext.Current.CancellationToken, version);
        for (var i = 0; i < 200; i++)
        {
            await publisher.SendAsync("acquire/bench-1/readings", $$"""[{"time_s":{{i}},"temperature_c":100},{"time_s":{{i}}.5,"temperature_c":100}]""", TestContext.Current.CancellationToken, quality);
        }

        await SourceSamples.Until(() => _inbox.Counters.Rows == 400, "all rows", TestContext.Current.CancellationToken);
        Assert.Equal(Enumerable.Range(0, 400).Select(i => i / 2.0), SourceSamples.Drain(_inbox).Select(row => row.AtSeconds));
        Assert.Equal((ConnectionState.Up, $"broker listens on 127.0.0.1:{_port}"), _inbox.Connection);
    }

    [Fact(Timeout = 30000)]
    public async Task Malformed_payload_is_counted_at_its_tester_and_the_connection_stays()
    {
        using var publisher = await Publisher.ConnectAsync(_port, TestContext.Current.CancellationToken);
        await publisher.SendAsync("acquire/bench-1/readings", "{}", TestContext.Current.CancellationToken);
        await publisher.SendAsync("acquire/bench-9/temperature", "hot", TestContext.Current.CancellationToken);
        await publisher.SendAsync("acquire/bench-1/readings", new string(' ', ReadingDispatcher.LargestPayloadBytes + 1), TestContext.Current.CancellationToken);
        await publisher.SendAsync("somewhere/else", "whatever", TestContext.Current.CancellationToken);
        await publisher.SendAsync("acquire/bench-1/readings", """{"time_s":1,"temperature_c":100}""", TestContext.Current.CancellationToken);

        Assert.Equal((1, 2), (_inbox.Counters.Rows, _inbox.Counters.Malformed));
        Assert.Equal("topic acquire/bench-1/readings, payload: given 262145 bytes; allowed: up to 262144", _inbox.LastRefusal);
        Assert.Equal((0, 1), (_other.Counters.Rows, _other.Counters.Malformed));
        Assert.StartsWith("topic acquire/bench-9/temperature, payload: given \"hot\"", _other.LastRefusal, StringComparison.Ordinal);
    }

    [Fact(Timeout = 30000)]
    public async Task Full_inbox_holds_the_publisher_back_and_loses_nothing()
    {
        const int Messages = 300;
        using var publisher = await Publisher.ConnectAsync(_port, TestContext.Current.CancellationToken);
        var token = TestContext.Current.CancellationToken;
        var sending = Task.Run(
            async () =>
            {
                for (var i = 0; i < Messages; i++)
                {
                    await publisher.SendAsync("acquire/bench-2/temperature", i.ToString(CultureInfo.InvariantCulture), token);
                }
            },
            token);
        await SourceSamples.Until(() => _other.Counters.QueueFull > 0, "the full queue", token);
        await SourceSamples.Pause(0.3, token);
        Assert.Equal(17, _other.Counters.Rows);

        for (var i = 0; i < Messages; i++)
        {
            Assert.Equal(i, (await _other.Rows.ReadAsync(token)).TemperatureCelsius);
        }

        await sending;
    }

    [Fact(Timeout = 30000)]
    public async Task Message_that_was_not_handed_over_at_the_stop_is_not_acknowledged()
    {
        var token = TestContext.Current.CancellationToken;
        using var publisher = await Publisher.ConnectAsync(_port, token);
        for (var i = 0; i < 16; i++)
        {
            await publisher.SendAsync("acquire/bench-2/temperature", "20", token);
        }

        var waiting = publisher.SendAsync("acquire/bench-2/temperature", "21", token);
        await SourceSamples.Until(() => _other.Counters.QueueFull > 0, "the full queue", token);
        await _stop.CancelAsync();
        await _running.WaitAsync(TimeSpan.FromSeconds(2), TimeProvider.System, token);

        await Assert.ThrowsAnyAsync<Exception>(() => waiting);
        Assert.Equal(16, SourceSamples.Drain(_other).Count);
    }

    [Fact(Timeout = 30000)]
    public async Task Broker_listens_on_loopback_only()
    {
        using var outside = new TcpClient();
        var address = (await Dns.GetHostAddressesAsync(Dns.GetHostName(), TestContext.Current.CancellationToken))
            .FirstOrDefault(candidate => candidate.AddressFamily == AddressFamily.InterNetwork && !IPAddress.IsLoopback(candidate));
        Assert.SkipWhen(address is null, "this machine has no address but loopback: whether others can reach the broker cannot be tried");

        await Assert.ThrowsAsync<SocketException>(() => outside.ConnectAsync(address!, _port, TestContext.Current.CancellationToken).AsTask());
    }

    [Fact(Timeout = 30000)]
    public async Task Port_in_use_names_the_key_and_the_broker_starts_when_the_port_is_free()
    {
        var token = TestContext.Current.CancellationToken;
        var late = SourceSamples.Inbox();
        var second = Broker(new([(SourceSamples.Mqtt(SourceSamples.NumberTopic("t")), late)]));
        using var stopSecond = new CancellationTokenSource();
        var running = second.RunAsync(stopSecond.Token);
        await second.FirstAttempt.WaitAsync(token);
        await SourceSamples.Until(() => late.Connection.State == ConnectionState.Down, "the refusal", token);
        Assert.StartsWith($"mqtt.port: {_port} on 127.0.0.1 is in use by another program", late.Connection.Text, StringComparison.Ordinal);

        await _stop.CancelAsync();
        await SourceSamples.Until(() => late.Connection.State == ConnectionState.Up, "the free port", token);

        await stopSecond.CancelAsync();
        await running;
    }

    [Theory(Timeout = 30000)]
    [InlineData("-V", "mqttv5")]
    [InlineData("-i", "bench-1")]
    public async Task Publisher_of_another_make_is_understood(string option, string value)
    {
        Mosquitto.SkipWithout("mosquitto_pub");
        string[] arguments =
            [option, value, "-h", "127.0.0.1", "-p", _port.ToString(CultureInfo.InvariantCulture), "-q", "1", "-t", "acquire/bench-1/readings", "-m", """{"time_s":3,"temperature_c":100.5}"""];
        using var process = Process.Start(new ProcessStartInfo(PtyPair.OnPath("mosquitto_pub")!, arguments) { RedirectStandardError = true })!;
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);

        Assert.Equal(0, process.ExitCode);
        Assert.Equal(100.5, Assert.Single(SourceSamples.Drain(_inbox)).TemperatureCelsius);
    }

    [Fact(Timeout = 30000)]
    public async Task A_publisher_without_a_name_that_comes_again_and_again_is_logged_once()
    {
        for (var i = 0; i < 20; i++)
        {
            using var client = new TcpClient();
            await client.ConnectAsync(IPAddress.Loopback, _port, TestContext.Current.CancellationToken);

            // CONNECT of MQTT 3.1.1: clean session, keep alive of 60 s, a client id of no characters (MQTT 3.1.1, 3.1).
            await client.GetStream().WriteAsync(new byte[] { 0x10, 12, 0, 4, (byte)'M', (byte)'Q', (byte)'T', (byte)'T', 4, 2, 0, 60, 0, 0 }, TestContext.Current.CancellationToken);
            _ = await client.GetStream().ReadAtLeastAsync(new byte[4], 4, throwOnEndOfStream: false, TestContext.Current.CancellationToken);
        }

        Assert.Single(_log.Lines, line => line.Contains("speaks MQTT 3.1.1 and gave no client id", StringComparison.Ordinal));
    }

    private EmbeddedBroker Broker(ReadingDispatcher dispatcher) => new(new MqttConfig.Embedded(IPAddress.Loopback, _port), dispatcher, TimeProvider.System, _log);

    private sealed class Log : ILogger<EmbeddedBroker>
    {
        public System.Collections.Concurrent.ConcurrentQueue<string> Lines { get; } = new();

        public IDisposable? BeginScope<TState>(TState state)
            where TState : notnull => null;

        public bool IsEnabled(LogLevel logLevel) => true;

        void ILogger.Log<TState>(LogLevel logLevel, EventId eventId, TState state, Exception? exception, Func<TState, Exception?, string> formatter) => Lines.Enqueue(formatter(state, exception));
    }
}
