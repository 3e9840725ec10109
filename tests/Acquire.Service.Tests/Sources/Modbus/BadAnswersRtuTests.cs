using Acquire.Service.Tests.Sources.Serial;
using Xunit;

namespace Acquire.Service.Tests.Sources.Modbus;

/// <summary>Answers on a serial line that no sound unit gives, and what lines do to sound ones.</summary>
public sealed class BadAnswersRtuTests : IAsyncLifetime
{
    private const string Pace = "\"unitId\": 1, \"baudRate\": 115200, \"periodMilliseconds\": 50, \"timeoutMilliseconds\": 200";
    private const string One = """{ "channel": "temperature", "unit": "degC", "address": 0 }""";
    private readonly PtyPair _pair = new();
    private int _requests;

    public async ValueTask InitializeAsync()
    {
        PtyPair.SkipWithoutSocat();
        await _pair.PlugInAsync(TestContext.Current.CancellationToken);
    }

    public ValueTask DisposeAsync()
    {
        _pair.Dispose();
        return ValueTask.CompletedTask;
    }

    [Fact(Timeout = 30000)]
    public async Task Answer_in_pieces_behind_noise_and_an_echo_is_read()
    {
        var token = TestContext.Current.CancellationToken;
        await using var unit = Unit(async (request, send) =>
        {
            await send(request);
            foreach (var piece in ScriptedUnit.RtuRegisters(request, 30).Chunk(2))
            {
                await send(piece);
                await SourceSamples.Pause(0.005, token);
            }
        });
        await using var bench = await PolledBench.StartAsync(ModbusSamples.RtuText(_pair.Port, Pace, One));

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
            // Given up after 0.2 s, and left alone until 0.4 s: the late answer falls into that.
            if (++_requests % 3 == 0)
            {
                await SourceSamples.Pause(0.3, token);
                await send(ScriptedUnit.RtuRegisters(request, 99));
                return;
            }

            await send(ScriptedUnit.RtuRegisters(request, 30));
        });
        await using var bench = await PolledBench.StartAsync(ModbusSamples.RtuText(_pair.Port, Pace, One));

        await bench.UntilAsync(inbox => inbox.Counters is { Rows: >= 12, Missed: >= 5 }, "readings between late answers");

        Assert.All(bench.Drain(), row => Assert.Equal(30, row.TemperatureCelsius));
        Assert.Equal(0, bench.Inbox.Counters.Malformed);
    }

    [Fact(Timeout = 30000)]
    public async Task Damaged_answer_is_counted_and_the_next_is_read()
    {
        await using var unit = Unit(async (request, send) =>
        {
            var answer = ScriptedUnit.RtuRegisters(request, 30);
            answer[4] ^= (byte)(++_requests % 2);
            await send(answer);
        });
        await using var bench = await PolledBench.StartAsync(ModbusSamples.RtuText(_pair.Port, Pace, One));

        await SourceSamples.Until(() => bench.Inbox.Counters is { Rows: >= 3, Malformed: >= 3, Missed: >= 3 }, "readings and refusals", TestContext.Current.CancellationToken);

        Assert.StartsWith($"{_pair.Port} unit 1, holding registers 0: 7 bytes with no checksum that fits (010302001F", bench.Inbox.LastRefusal, StringComparison.Ordinal);
        Assert.All(bench.Drain(), row => Assert.Equal(30, row.TemperatureCelsius));
    }

    [Fact(Timeout = 30000)]
    public async Task Garbage_without_end_is_counted_and_makes_no_reading()
    {
        var token = TestContext.Current.CancellationToken;
        await using var unit = Unit((request, send) => send(ScriptedUnit.RtuRegisters(request, 30)));
        await using var bench = await PolledBench.StartAsync(ModbusSamples.RtuText(_pair.Port, Pace, One));
        await bench.ReadAsync();

        using (var babble = new CancellationTokenSource())
        {
            var babbling = Task.Run(
                async () =>
                {
                    while (!babble.IsCancellationRequested)
                    {
                        for (var sent = 0; sent < 200; sent++)
                        {
                            _pair.Send([0x55, 0xAA, 0x01, 0x03, 0x02]);
                        }

                        // A breath, in which a request goes out: an answer is looked for only then, however busy the machine is.
                        await Task.Delay(TimeSpan.FromMilliseconds(25), TimeProvider.System, token);
                    }
                },
                token);
            await SourceSamples.Until(() => bench.Inbox.Counters.Malformed >= 10, "the refusals", token);
            await babble.CancelAsync();
            await babbling;
        }

        Assert.InRange(await bench.BackAsync(), 0, PolledBench.PromptSeconds);
        Assert.All(bench.Drain(), row => Assert.Equal(30, row.TemperatureCelsius));
    }

    private ScriptedUnit Unit(Func<byte[], Func<byte[], Task>, Task> answer)
    {
        var unit = new ScriptedUnit { Answer = answer };
        unit.Sit(_pair);
        return unit;
    }
}
