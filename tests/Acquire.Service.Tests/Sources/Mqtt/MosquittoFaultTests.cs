using Acquire.Core.Readings;
using Acquire.Service.Sources.Mqtt;
using MQTTnet.Exceptions;
using MQTTnet.Protocol;
using Xunit;

namespace Acquire.Service.Tests.Sources.Mqtt;

/// <summary>A broker of another make that restarts, and networks that delay, cut, and say nothing.</summary>
public sealed class MosquittoFaultTests : IAsyncLifetime
{
    private const string ByTime = """, "order": { "by": "time", "lateSeconds": 5 } """;
    private static readonly TimeSpan Back = TimeSpan.FromSeconds(2);
    private readonly List<IDisposable> _brokers = [];

    public ValueTask InitializeAsync()
    {
        Mosquitto.SkipWithout("mosquitto");
        return ValueTask.CompletedTask;
    }

    public ValueTask DisposeAsync()
    {
        _brokers.ForEach(broker => broker.Dispose());
        return ValueTask.CompletedTask;
    }

    [Theory(Timeout = 90000)]
    [InlineData("")]
    [InlineData(ByTime)]
    public async Task Broker_that_restarts_in_mid_run_loses_no_message_that_it_acknowledged(string order)
    {
        var token = TestContext.Current.CancellationToken;
        var broker = await StartAsync(token, keeps: true);
        await using var bench = new ExternalBench(broker.Port, order: order);
        await bench.StartAsync(token);
        const int Messages = 400;
        var publishing = PublishAllAsync(broker.Port, Messages, token);
        await SourceSamples.Until(() => bench.Inbox.Counters.Rows >= 50, "the first rows", token);

        await broker.StopAsync(token);
        await SourceSamples.Pause(1, token);
        await broker.StartAsync(token);
        var back = TimeProvider.System.GetTimestamp();
        var before = bench.Inbox.Counters.Rows;
        await SourceSamples.Until(() => bench.Inbox.Counters.Rows > before, "rows again", token);
        Assert.True(TimeProvider.System.GetElapsedTime(back) < Back, $"after {TimeProvider.System.GetElapsedTime(back).TotalSeconds:0.00} s");
        await publishing;
        await SourceSamples.Until(() => bench.Inbox.Counters.Rows >= Messages, "every row", token, () => bench.Inbox.Counters.ToString());
        await SourceSamples.Pause(0.3, token);

        var times = SourceSamples.Drain(bench.Inbox).ConvertAll(row => row.AtSeconds);
        Assert.Equal(Enumerable.Range(0, Messages).Select(count => (double)count), times.Distinct().Order());
        if (order.Length > 0)
        {
            Assert.Equal(Messages, times.Count);
        }
    }

    [Fact(Timeout = 60000)]
    public async Task Network_that_is_cut_again_and_again_loses_no_message()
    {
        var token = TestContext.Current.CancellationToken;
        var broker = await StartAsync(token);
        await using var network = new FaultyNetwork(broker.Port);
        await using var bench = new ExternalBench(network.Port, order: ByTime);
        await bench.StartAsync(token);
        const int Messages = 300;
        var publishing = PublishAllAsync(broker.Port, Messages, token);

        for (var cut = 0; cut < 3; cut++)
        {
            await SourceSamples.Pause(0.3, token);
            network.Cut();
            await SourceSamples.Until(() => !bench.IsUp, "the loss", token);
            await SourceSamples.Pause(0.5, token);
            network.Release();
            var back = TimeProvider.System.GetTimestamp();
            await SourceSamples.Until(() => bench.IsUp, "the connection", token);
            Assert.True(TimeProvider.System.GetElapsedTime(back) < Back, $"after {TimeProvider.System.GetElapsedTime(back).TotalSeconds:0.00} s");
        }

        await publishing;
        await SourceSamples.Until(() => bench.Inbox.Counters.Rows >= Messages, "every row", token, () => bench.Inbox.Counters.ToString());
        await SourceSamples.Pause(0.3, token);

        Assert.Equal(Enumerable.Range(0, Messages).Select(count => (double)count), SourceSamples.Drain(bench.Inbox).Select(row => row.AtSeconds));
    }

    [Fact(Timeout = 60000)]
    public async Task Network_with_a_second_of_delay_is_slow_and_no_fault()
    {
        var token = TestContext.Current.CancellationToken;
        var broker = await StartAsync(token);
        await using var network = new FaultyNetwork(broker.Port);
        network.Delay(500);
        await using var bench = new ExternalBench(network.Port);
        await bench.StartAsync(token);

        await PublishAllAsync(broker.Port, 100, token);
        await SourceSamples.Until(() => bench.Inbox.Counters.Rows == 100, "every row", token, () => bench.Inbox.Counters.ToString());

        // Long enough for the connection to be asked for twice; the answer takes a second, and may take 2.5.
        await SourceSamples.Pause(12, token);

        Assert.True(bench.IsUp, bench.Inbox.Connection.Text);
        Assert.Equal((0, 1), (bench.Inbox.ConnectionsLost, network.Connections));
    }

    [Fact(Timeout = 60000)]
    public async Task Network_that_holds_everything_back_for_less_than_the_keep_alive_loses_nothing()
    {
        var token = TestContext.Current.CancellationToken;
        var broker = await StartAsync(token);
        await using var network = new FaultyNetwork(broker.Port);
        await using var bench = new ExternalBench(network.Port, order: ByTime);
        await bench.StartAsync(token);

        network.Hold();
        await PublishAllAsync(broker.Port, 50, token);
        await SourceSamples.Pause(2, token);
        Assert.Equal(0, bench.Inbox.Counters.Rows);
        network.Release();
        var back = TimeProvider.System.GetTimestamp();
        await SourceSamples.Until(() => bench.Inbox.Counters.Rows == 50, "every row", token, () => bench.Inbox.Counters.ToString());

        Assert.True(TimeProvider.System.GetElapsedTime(back) < Back);
        Assert.Equal(0, bench.Inbox.ConnectionsLost);
    }

    [Fact(Timeout = 60000)]
    public async Task Half_open_connection_is_noticed_within_one_and_a_half_keep_alives_and_nothing_is_lost()
    {
        var token = TestContext.Current.CancellationToken;
        var broker = await StartAsync(token);
        await using var network = new FaultyNetwork(broker.Port);
        await using var bench = new ExternalBench(network.Port, """, "keepAliveSeconds": 1, "answerSeconds": 1 """, order: ByTime);
        await bench.StartAsync(token);

        network.Hold();
        var broken = TimeProvider.System.GetTimestamp();
        await PublishAllAsync(broker.Port, 50, token);
        await SourceSamples.Until(() => !bench.IsUp, "the loss", token);
        var noticed = TimeProvider.System.GetElapsedTime(broken);
        await SourceSamples.Pause(2, token);
        network.ForgetAndRelease();
        var back = TimeProvider.System.GetTimestamp();
        await SourceSamples.Until(() => bench.Inbox.Counters.Rows == 50, "every row", token, () => bench.Inbox.Counters + " " + bench.Inbox.Connection);

        // One and a half keep-alives, a quarter of a second between looks, and the rest for two busy cores.
        Assert.InRange(noticed, TimeSpan.Zero, TimeSpan.FromSeconds(3));

        // An attempt that was under way when the network came back may wait for its answer first.
        Assert.InRange(TimeProvider.System.GetElapsedTime(back), TimeSpan.Zero, TimeSpan.FromSeconds(1) + Back);
    }

    [Fact(Timeout = 60000)]
    public async Task Oversized_and_garbage_payloads_are_counted_and_the_readings_around_them_come()
    {
        var token = TestContext.Current.CancellationToken;
        var broker = await StartAsync(token);
        await using var bench = new ExternalBench(broker.Port);
        await bench.StartAsync(token);
        using var publisher = await Publisher.ConnectAsync(broker.Port, token);

        await publisher.SendAsync(ExternalBench.Topic, ExternalBench.Row(1), token);
        await publisher.SendAsync(ExternalBench.Topic, new string('x', ReadingDispatcher.LargestPayloadBytes + 1), token);
        await publisher.SendAsync(ExternalBench.Topic, new string('x', 8 * ReadingDispatcher.LargestPayloadBytes), token);
        await publisher.SendAsync(ExternalBench.Topic, "\0\u0001\u001b[31m", token);
        await publisher.SendAsync(ExternalBench.Topic, new string('[', 100_000), token);
        await publisher.SendAsync(ExternalBench.Topic, """{"time_s":1e308,"temperature_c":100}""", token);
        await publisher.SendAsync(ExternalBench.Topic, ExternalBench.Row(2), token);
        await SourceSamples.Until(() => bench.Inbox.Counters.Rows == 2, "the rows", token, () => bench.Inbox.Counters.ToString());

        // The largest never comes: the broker is told how much is taken, and keeps it to itself.
        Assert.Equal((4, 0), (bench.Inbox.Counters.Malformed, bench.Inbox.ConnectionsLost));
        Assert.DoesNotContain('\u001b', bench.Inbox.LastRefusal!);
        Assert.Equal([1.0, 2.0], SourceSamples.Drain(bench.Inbox).Select(row => row.AtSeconds));
    }

    [Fact(Timeout = 60000)]
    public async Task Repeated_late_and_missing_readings_are_counted_and_the_late_ones_are_marked()
    {
        var token = TestContext.Current.CancellationToken;
        var broker = await StartAsync(token);
        const string Topics = """{ "filter": "lab/{tester}/rows", "payload": "csv", "columns": [ { "channel": "sequence" }, { "channel": "time", "unit": "s" }, { "channel": "temperature", "unit": "degC" } ] }""";
        await using var bench = new ExternalBench(broker.Port, topics: Topics, order: """, "order": { "by": "sequence", "lateSeconds": 3 } """);
        await bench.StartAsync(token);
        using var publisher = await Publisher.ConnectAsync(broker.Port, token);

        foreach (var payload in new[] { "1,1,20\n2,2,21", "2,2,21", "5,5,24", "4,4,23", "4,4,23", "6,6,25" })
        {
            await publisher.SendAsync("lab/bench-1/rows", payload, token);
        }

        await SourceSamples.Until(() => bench.Inbox.Counters.Rows == 5, "the rows", token, () => bench.Inbox.Counters.ToString());
        var counters = bench.Inbox.Counters;
        Assert.Equal((2, 1, 1), (counters.Repeated, counters.Late, counters.Missed));
        Assert.Equal(
            [(1, ReadingMarks.None), (2, ReadingMarks.None), (5, ReadingMarks.None), (4, ReadingMarks.Late), (6, ReadingMarks.None)],
            SourceSamples.Drain(bench.Inbox).Select(row => ((int)row.AtSeconds, row.Marks)));
    }

    [Fact(Timeout = 60000)]
    public async Task Broker_says_that_the_service_is_gone_when_its_connection_breaks_and_the_service_says_when_it_is_back()
    {
        var token = TestContext.Current.CancellationToken;
        var broker = await StartAsync(token);
        await using var network = new FaultyNetwork(broker.Port);
        var bench = new ExternalBench(network.Port, """, "statusTopic": "acquire/status" """);
        await bench.StartAsync(token);
        using var reader = await Publisher.ConnectAsync(broker.Port, "reader", "", token);
        await reader.SubscribeAsync("acquire/status", token);
        await SourceSamples.Until(() => reader.Received.Any(text => text.Contains("\"online\":true", StringComparison.Ordinal)), "the first word", token);
        reader.Received.Clear();

        network.Cut();
        await SourceSamples.Until(() => reader.Received.Any(text => text.Contains("\"online\":false", StringComparison.Ordinal)), "the last will", token);
        reader.Received.Clear();
        network.Release();
        await SourceSamples.Until(() => reader.Received.Any(text => text.Contains("\"online\":true", StringComparison.Ordinal)), "the word after", token);
        reader.Received.Clear();
        await bench.DisposeAsync();

        await SourceSamples.Until(() => reader.Received.Any(text => text.StartsWith("acquire/status {\"online\":false", StringComparison.Ordinal)), "the goodbye", token);
    }

    private async Task<Mosquitto> StartAsync(CancellationToken cancellationToken, bool keeps = false)
    {
        var broker = new Mosquitto(keeps: keeps);
        _brokers.Add(broker);
        await broker.StartAsync(cancellationToken);
        return broker;
    }

    // As a tester does it: what was not acknowledged is published again, on a new connection where the old one is lost.
    private static async Task PublishAllAsync(int port, int count, CancellationToken cancellationToken)
    {
        Publisher? publisher = null;
        for (var next = 0; next < count;)
        {
            try
            {
                publisher ??= await Publisher.ConnectAsync(port, cancellationToken);
                await publisher.SendAsync(ExternalBench.Topic, ExternalBench.Row(next), cancellationToken, MqttQualityOfServiceLevel.AtLeastOnce);
                next++;
                await SourceSamples.Pause(0.003, cancellationToken);
            }
            catch (Exception exception) when (exception is MqttCommunicationException or InvalidOperationException or IOException)
            {
                publisher?.Dispose();
                publisher = null;
                await SourceSamples.Pause(0.1, cancellationToken);
            }
        }

        publisher?.Dispose();
    }
}
