using Acquire.Service.Live;
using Xunit;

namespace Acquire.Service.Tests.Sources.Modbus;

/// <summary>Answers over the network that no sound unit gives.</summary>
public sealed class BadAnswersTcpTests
{
    private const string Pace = "\"unitId\": 1, \"periodMilliseconds\": 50, \"timeoutMilliseconds\": 200";
    private const string One = """{ "channel": "temperature", "unit": "degC", "address": 0 }""";
    private int _requests;

    [Fact(Timeout = 30000)]
    public async Task Answer_in_pieces_is_read()
    {
        await using var unit = Unit(async (request, send) =>
        {
            foreach (var piece in ScriptedUnit.Registers(request, 30).Chunk(3))
            {
                await send(piece);
                await SourceSamples.Pause(0.01, TestContext.Current.CancellationToken);
            }
        });
        await using var bench = await PolledBench.StartAsync(ModbusSamples.TcpText(unit.Port, Pace, One));

        await bench.UntilAsync(inbox => inbox.Counters.Rows >= 5, "readings");

        Assert.Equal(0, bench.Inbox.Counters.Malformed);
        Assert.All(bench.Drain(), row => Assert.Equal(30, row.TemperatureCelsius));
    }

    [Fact(Timeout = 30000)]
    public async Task Late_answer_is_never_taken_for_that_to_the_next_request()
    {
        var token = TestContext.Current.CancellationToken;
        await using var unit = Unit(async (request, send) =>
        {
            // Every third answer comes after its request was given up, with a number that must not be seen, just before the next.
            if (++_requests % 3 == 0)
            {
                await SourceSamples.Pause(0.25, token);
                await send(ScriptedUnit.Registers(request, 99));
                return;
            }

            await send(ScriptedUnit.Registers(request, 30));
        });
        await using var bench = await PolledBench.StartAsync(ModbusSamples.TcpText(unit.Port, Pace, One));

        await bench.UntilAsync(inbox => inbox.Counters is { Rows: >= 12, Missed: >= 5 }, "readings between late answers");

        Assert.All(bench.Drain(), row => Assert.Equal(30, row.TemperatureCelsius));
        Assert.Equal((0, 1), (bench.Inbox.Counters.Malformed, unit.Connections));
    }

    [Theory(Timeout = 30000)]
    [InlineData(6, 0x02, "unit 2 answered; allowed: the unit that was asked, 1")]
    [InlineData(7, 0x04, "function 0x04; allowed: the one that was asked for, 0x03")]
    [InlineData(8, 0x04, "2 bytes of registers, said to be 4; allowed: the 2 that were asked for")]
    public async Task Answer_to_something_else_is_counted_and_the_next_is_read(int position, byte value, string why)
    {
        await using var unit = Unit(async (request, send) =>
        {
            var answer = ScriptedUnit.Registers(request, 30);
            answer[position] = ++_requests % 2 == 0 ? value : answer[position];
            await send(answer);
        });
        await using var bench = await PolledBench.StartAsync(ModbusSamples.TcpText(unit.Port, Pace, One));

        await SourceSamples.Until(() => bench.Inbox.Counters is { Rows: >= 5, Malformed: >= 5 }, "readings and refusals", TestContext.Current.CancellationToken);

        Assert.Equal($"127.0.0.1:{unit.Port} unit 1, holding registers 0: {why}", bench.Inbox.LastRefusal);
        Assert.Equal(1, unit.Connections);
    }

    [Fact(Timeout = 30000)]
    public async Task What_is_no_Modbus_ends_the_connection_and_the_next_one_is_read()
    {
        await using var unit = Unit((request, send) => send(++_requests == 3 ? "HTTP/1.1 400 Bad Request\r\n\r\n"u8.ToArray() : ScriptedUnit.Registers(request, 30)));
        await using var bench = await PolledBench.StartAsync(ModbusSamples.TcpText(unit.Port, Pace, One));

        await SourceSamples.Until(() => bench.Inbox.Connection.State == ConnectionState.Down, "the loss", TestContext.Current.CancellationToken);
        Assert.Equal($"the connection to 127.0.0.1:{unit.Port} was lost (what came is no Modbus: 485454502F312E): check the network and the tester's power", bench.Inbox.Connection.Text);
        Assert.InRange(await bench.BackAsync(), 0, PolledBench.PromptSeconds);

        Assert.Equal(2, unit.Connections);
        Assert.All(bench.Drain(), row => Assert.Equal(30, row.TemperatureCelsius));
    }

    [Fact(Timeout = 30000)]
    public async Task Connection_that_is_dead_at_its_other_end_is_opened_anew()
    {
        // Half-open: the first connection swallows everything after the second request, as behind a router that forgot it.
        var dead = 0;
        await using var unit = Unit((request, send) =>
        {
            _requests++;
            return _requests > 2 && dead < 3 && ++dead > 0 ? Task.CompletedTask : send(ScriptedUnit.Registers(request, 30));
        });
        await using var bench = await PolledBench.StartAsync(ModbusSamples.TcpText(unit.Port, Pace, One));

        await SourceSamples.Until(() => unit.Connections == 2, "the second connection", TestContext.Current.CancellationToken);
        Assert.InRange(await bench.BackAsync(), 0, PolledBench.PromptSeconds);

        Assert.Equal((1, 0), (bench.Inbox.ConnectionsLost, bench.Inbox.Counters.Malformed));
        Assert.InRange(bench.Inbox.Counters.Missed, 3, 60);
    }

    [Fact(Timeout = 30000)]
    public async Task Full_queue_loses_no_reading_and_counts_the_polls_that_were_not_made()
    {
        var token = TestContext.Current.CancellationToken;
        await using var unit = Unit((request, send) => send(ScriptedUnit.Registers(request, (byte)(++_requests % 200))));
        await using var bench = await PolledBench.StartConfigAsync(ModbusSamples.File(ModbusSamples.TcpText(unit.Port, "\"unitId\": 1, \"periodMilliseconds\": 10", One), "\"queueCapacity\": 16,"));

        await SourceSamples.Until(() => bench.Inbox.Counters is { QueueFull: > 0, Missed: >= 10 }, "the full queue", token);
        var asked = _requests;
        await SourceSamples.Pause(0.2, token);
        Assert.Equal(asked, _requests);

        var first = bench.Drain();
        await bench.UntilAsync(inbox => inbox.Counters.Rows >= 30, "readings after it");
        Assert.Equal(Enumerable.Range(1, 30).Select(number => (double)number), first.Concat(bench.Drain()).Take(30).Select(row => row.TemperatureCelsius));
    }

    private static ScriptedUnit Unit(Func<byte[], Func<byte[], Task>, Task> answer)
    {
        var unit = new ScriptedUnit { Answer = answer };
        unit.Listen();
        return unit;
    }
}
