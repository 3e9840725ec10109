using Acquire.Service.Live;
using Acquire.Service.Tests.Sources.Serial;
using Xunit;

namespace Acquire.Service.Tests.Sources.Modbus;

/// <summary>Over a serial line, which is two pseudo terminals, with units of another make.</summary>
public sealed class PymodbusRtuTests : IAsyncLifetime
{
    private const string Pace = "\"unitId\": 1, \"baudRate\": 115200, \"periodMilliseconds\": 100, \"timeoutMilliseconds\": 300";
    private readonly PtyPair _pair = new();
    private PymodbusServer _units = null!;

    public ValueTask InitializeAsync()
    {
        PtyPair.SkipWithoutSocat();
        PymodbusServer.SkipWithout();
        _units = PymodbusServer.Rtu(_pair.Far, "1", "2");
        return ValueTask.CompletedTask;
    }

    public ValueTask DisposeAsync()
    {
        _units?.Dispose();
        _pair.Dispose();
        return ValueTask.CompletedTask;
    }

    [Fact(Timeout = 60000)]
    public async Task Port_that_comes_late_and_is_unplugged_is_read_within_two_seconds()
    {
        await using var bench = await PolledBench.StartAsync(ModbusSamples.RtuText(_pair.Port, Pace));
        await bench.UntilAsync(inbox => inbox.Connection.State == ConnectionState.Down, "the missing port");
        Assert.Equal($"{_pair.Port} is not there: plug the tester in and switch it on", bench.Inbox.Connection.Text);
        await ServeAsync(TestContext.Current.CancellationToken);
        Assert.InRange(await bench.BackAsync(), 0, PolledBench.PromptSeconds);

        var missed = bench.Inbox.Counters.Missed;
        _units.Kill();
        _pair.Unplug();
        await bench.UntilAsync(inbox => inbox.Connection.State == ConnectionState.Down, "the loss");
        await SourceSamples.Pause(2, TestContext.Current.CancellationToken);
        await ServeAsync(TestContext.Current.CancellationToken);
        Assert.InRange(await bench.BackAsync(), 0, PolledBench.PromptSeconds);

        Assert.InRange(bench.Inbox.Counters.Missed - missed, 20, 100);
        Assert.Equal(1, bench.Inbox.ConnectionsLost);
        Assert.All(bench.Drain(), row => Assert.Equal((215.3, 0.03125), (row.TemperatureCelsius, row.Detector)));
    }

    [Fact(Timeout = 60000)]
    public async Task Units_that_hang_are_told_and_read_within_two_seconds_once_they_go_on()
    {
        await ServeAsync(TestContext.Current.CancellationToken);
        await using var bench = await PolledBench.StartAsync(ModbusSamples.RtuText(_pair.Port, Pace));
        await bench.ReadAsync();

        _units.Freeze();
        await bench.UntilAsync(inbox => inbox.Connection.State == ConnectionState.Down, "the silence");
        Assert.Equal($"unit 1 at {_pair.Port} does not answer: check its power, its cable and source.unitId", bench.Inbox.Connection.Text);
        await SourceSamples.Pause(2, TestContext.Current.CancellationToken);
        _units.Thaw();

        Assert.InRange(await bench.BackAsync(), 0, PolledBench.PromptSeconds);
        Assert.All(bench.Drain(), row => Assert.Equal((215.3, 0.03125), (row.TemperatureCelsius, row.Detector)));
    }

    [Fact(Timeout = 30000)]
    public async Task Register_that_is_not_there_is_refused_by_name_and_the_connection_stays()
    {
        await ServeAsync(TestContext.Current.CancellationToken);
        await using var bench = await PolledBench.StartAsync(ModbusSamples.RtuText(_pair.Port, Pace, ModbusSamples.Plain + """, { "channel": "flame", "address": 50 }"""));

        await bench.UntilAsync(inbox => inbox.Counters is { Rows: >= 5, Malformed: >= 5, Missed: >= 5 }, "readings and refusals side by side");

        Assert.EndsWith("unit 1, holding registers 50: exception 02 ILLEGAL DATA ADDRESS: the unit has not all of these registers; check table and address", bench.Inbox.LastRefusal, StringComparison.Ordinal);
        Assert.Equal(ConnectionState.Up, bench.Inbox.Connection.State);
    }

    [Fact(Timeout = 30000)]
    public async Task Unit_that_is_not_on_the_line_does_not_take_it_from_the_others()
    {
        await ServeAsync(TestContext.Current.CancellationToken);
        await _units.SetAsync(2, "holding", 0, 1000);
        var first = ModbusSamples.RtuText(_pair.Port, Pace);
        string For(int unit) => first.Replace("\"unitId\": 1", $"\"unitId\": {unit}", StringComparison.Ordinal);
        await using var bench = await PolledBench.StartConfigAsync($$"""{ "testers": [ { "id": "a", "source": {{first}} }, { "id": "b", "source": {{For(2)}} }, { "id": "absent", "source": {{For(9)}} } ] }""");
        await SourceSamples.Until(() => bench["absent"].Connection.State == ConnectionState.Down, "the absent unit", TestContext.Current.CancellationToken);
        var (rows, others) = (bench.Inbox.Counters.Rows, bench["b"].Counters.Rows);

        await SourceSamples.Pause(5, TestContext.Current.CancellationToken);

        // Ten polls a second; the absent unit takes a fourth of the time, 0.3 of every 1.3 s.
        Assert.InRange(bench.Inbox.Counters.Rows - rows, 25, 52);
        Assert.InRange(bench["b"].Counters.Rows - others, 25, 52);
        Assert.Equal($"unit 9 at {_pair.Port} does not answer: check its power, its cable and source.unitId", bench["absent"].Connection.Text);
        Assert.All(SourceSamples.Drain(bench["b"]), row => Assert.Equal(100, row.TemperatureCelsius));
    }

    private async Task ServeAsync(CancellationToken cancellationToken)
    {
        await _pair.PlugInAsync(cancellationToken);
        await _units.StartAsync(cancellationToken);
        await _units.SetAsync(1, "holding", 0, 2153);
        await _units.SetAsync(1, "holding", 1, 0.03125f);
    }
}
