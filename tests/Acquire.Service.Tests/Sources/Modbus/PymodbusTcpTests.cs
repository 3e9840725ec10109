using Acquire.Core.Readings;
using Acquire.Service.Live;
using Acquire.Service.Tests.Sources.Mqtt;
using Xunit;

namespace Acquire.Service.Tests.Sources.Modbus;

/// <summary>Over the network, with a server of another make.</summary>
public sealed class PymodbusTcpTests : IAsyncLifetime
{
    private const string Pace = "\"unitId\": 1, \"periodMilliseconds\": 50, \"timeoutMilliseconds\": 300";
    private readonly int _port = Mosquitto.FreePort();
    private PymodbusServer _server = null!;

    public ValueTask InitializeAsync()
    {
        PymodbusServer.SkipWithout();
        _server = PymodbusServer.Tcp(_port, "1", "2");
        return ValueTask.CompletedTask;
    }

    public ValueTask DisposeAsync()
    {
        _server?.Dispose();
        return ValueTask.CompletedTask;
    }

    [Fact(Timeout = 30000)]
    public async Task Values_of_both_tables_are_read()
    {
        await ServeAsync(TestContext.Current.CancellationToken);
        await _server.SetAsync(1, "input", 4, 0x0002);
        await using var bench = await PolledBench.StartAsync(ModbusSamples.TcpText(_port, Pace, ModbusSamples.Plain + """, { "channel": "flame", "table": "input", "address": 4, "bit": 1 }"""));

        await bench.UntilAsync(inbox => inbox.Counters.Rows >= 10, "ten readings");
        var rows = bench.Drain();

        Assert.Contains(rows, row => row is { Present: RowChannels.Temperature | RowChannels.Detector, TemperatureCelsius: 215.3, Detector: 0.03125 });
        Assert.Contains(rows, row => row is { Present: RowChannels.Flame, FlameOver: true });
        Assert.Equal((0, ConnectionState.Up), (bench.Inbox.Counters.Malformed, bench.Inbox.Connection.State));
    }

    [Fact(Timeout = 60000)]
    public async Task Server_that_is_started_late_and_restarted_is_read_within_two_seconds()
    {
        await using var bench = await PolledBench.StartAsync(ModbusSamples.TcpText(_port, Pace));
        await bench.UntilAsync(inbox => inbox.Connection.State == ConnectionState.Down, "the missing server");
        Assert.Equal($"nothing listens at 127.0.0.1:{_port}: switch the tester on; check source.host and source.port", bench.Inbox.Connection.Text);
        await ServeAsync(TestContext.Current.CancellationToken);
        Assert.InRange(await bench.BackAsync(), 0, PolledBench.PromptSeconds);

        var missed = bench.Inbox.Counters.Missed;
        _server.Kill();
        await bench.UntilAsync(inbox => inbox.Connection.State == ConnectionState.Down, "the loss");
        await SourceSamples.Pause(2, TestContext.Current.CancellationToken);
        await ServeAsync(TestContext.Current.CancellationToken);
        Assert.InRange(await bench.BackAsync(), 0, PolledBench.PromptSeconds);

        // 20 polls a second, and the server was away for two seconds at least.
        Assert.InRange(bench.Inbox.Counters.Missed - missed, 40, 200);
        Assert.Equal((0, 1), (bench.Inbox.Counters.Malformed, bench.Inbox.ConnectionsLost));
        bench.Drain();
    }

    [Fact(Timeout = 60000)]
    public async Task Server_that_hangs_is_told_and_read_within_two_seconds_once_it_goes_on()
    {
        await ServeAsync(TestContext.Current.CancellationToken);
        await using var bench = await PolledBench.StartAsync(ModbusSamples.TcpText(_port, Pace));
        await bench.ReadAsync();

        _server.Freeze();
        await bench.UntilAsync(inbox => inbox.Connection.State == ConnectionState.Down, "the silence");
        Assert.Equal($"the connection to 127.0.0.1:{_port} was lost (3 requests in a row without an answer): check the network and the tester's power", bench.Inbox.Connection.Text);
        await SourceSamples.Pause(2, TestContext.Current.CancellationToken);
        _server.Thaw();

        Assert.InRange(await bench.BackAsync(), 0, PolledBench.PromptSeconds);
        Assert.Equal(0, bench.Inbox.Counters.Malformed);
        bench.Drain();
    }

    [Fact(Timeout = 30000)]
    public async Task Register_that_is_not_there_is_refused_by_name_and_the_connection_stays()
    {
        await ServeAsync(TestContext.Current.CancellationToken);
        await using var bench = await PolledBench.StartAsync(ModbusSamples.TcpText(_port, Pace, ModbusSamples.Plain + """, { "channel": "flame", "address": 50 }"""));

        await bench.UntilAsync(inbox => inbox.Counters is { Rows: >= 5, Malformed: >= 5, Missed: >= 5 }, "readings and refusals side by side");

        Assert.Equal($"127.0.0.1:{_port} unit 1, holding registers 50: exception 02 ILLEGAL DATA ADDRESS: the unit has not all of these registers; check table and address", bench.Inbox.LastRefusal);
        Assert.Equal(ConnectionState.Up, bench.Inbox.Connection.State);
    }

    [Fact(Timeout = 30000)]
    public async Task Gap_that_is_not_there_is_refused_with_the_key_that_helps()
    {
        await ServeAsync(TestContext.Current.CancellationToken);
        const string Registers = """{ "channel": "temperature", "unit": "degC", "address": 9 }, { "channel": "flame", "address": 100 }""";
        await using (var bench = await PolledBench.StartAsync(ModbusSamples.TcpText(_port, Pace + ", \"largestGap\": 100", Registers)))
        {
            await bench.UntilAsync(inbox => inbox.Counters.Malformed > 0, "the refusal");
            Assert.EndsWith("set largestGap to 0", bench.Inbox.LastRefusal, StringComparison.Ordinal);
        }

        await using var apart = await PolledBench.StartAsync(ModbusSamples.TcpText(_port, Pace + ", \"largestGap\": 0", Registers));
        await apart.UntilAsync(inbox => inbox.Counters.Rows >= 4, "readings");
        Assert.Equal(0, apart.Inbox.Counters.Malformed);
    }

    [Fact(Timeout = 30000)]
    public async Task Not_a_number_is_refused_and_the_rest_of_the_row_counts()
    {
        await ServeAsync(TestContext.Current.CancellationToken);
        await using var bench = await PolledBench.StartAsync(ModbusSamples.TcpText(_port, Pace));
        await bench.ReadAsync();

        await _server.SetAsync(1, "holding", 1, float.NaN);
        await bench.UntilAsync(inbox => inbox.Counters.Malformed >= 3, "the refusals");

        Assert.EndsWith("holding register 1 (detector): given NaN; allowed: a finite number", bench.Inbox.LastRefusal, StringComparison.Ordinal);
        Assert.Contains(bench.Drain(), row => row is { Present: RowChannels.Temperature, TemperatureCelsius: 215.3 });
        Assert.Equal((0, ConnectionState.Up), (bench.Inbox.Counters.Missed, bench.Inbox.Connection.State));
    }

    [Fact(Timeout = 30000)]
    public async Task Two_testers_share_one_connection()
    {
        await ServeAsync(TestContext.Current.CancellationToken);
        await _server.SetAsync(2, "holding", 0, 1000);
        var first = ModbusSamples.TcpText(_port, Pace);
        await using var bench = await PolledBench.StartConfigAsync($$"""{ "testers": [ { "id": "a", "source": {{first}} }, { "id": "b", "source": {{first.Replace("\"unitId\": 1", "\"unitId\": 2", StringComparison.Ordinal)}} } ] }""");

        await bench.ReadAsync();
        await SourceSamples.Until(() => bench["b"].Counters.Rows > 5, "readings of the other", TestContext.Current.CancellationToken);

        Assert.All(bench.Drain(), row => Assert.Equal(215.3, row.TemperatureCelsius));
        Assert.All(SourceSamples.Drain(bench["b"]), row => Assert.Equal(100, row.TemperatureCelsius));
    }

    private async Task ServeAsync(CancellationToken cancellationToken)
    {
        await _server.StartAsync(cancellationToken);
        await _server.SetAsync(1, "holding", 0, 2153);
        await _server.SetAsync(1, "holding", 1, 0.03125f);
    }
}
