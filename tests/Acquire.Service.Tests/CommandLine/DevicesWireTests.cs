using Acquire.Service.CommandLine;
using Acquire.Service.Tests.Sources;
using Acquire.Service.Tests.Sources.Serial;
using Xunit;

namespace Acquire.Service.Tests.CommandLine;

/// <summary>`acquire devices` on two pseudo terminals.</summary>
public sealed class DevicesWireTests : IAsyncLifetime
{
    private readonly PtyPair _pair = new();
    private readonly string _folder = TestFolders.Make("acquire-devices-");

    private string ConfigPath => Path.Combine(_folder, "acquire.json");

    public async ValueTask InitializeAsync()
    {
        PtyPair.SkipWithoutSocat();
        await _pair.PlugInAsync(TestContext.Current.CancellationToken);
        await File.WriteAllTextAsync(ConfigPath, $$"""{ "testers": [ { "id": "bench-1", "source": { "kind": "serial", "port": "{{_pair.Port}}", {{SourceSamples.FullColumns}} } } ] }""", TestContext.Current.CancellationToken);
    }

    public ValueTask DisposeAsync()
    {
        _pair.Dispose();
        return ValueTask.CompletedTask;
    }

    [Fact(Timeout = 30000)]
    public async Task Watch_prints_readings_and_refusals_beside_what_came_and_the_lines_as_they_are_without_a_tester()
    {
        var ran = await WhileSendingAsync("1,100.5,0.5,1\r\nx\n", TestContext.Current.CancellationToken, "watch", "bench-1", "--config", ConfigPath, "--lines", "10");
        Assert.Equal(ExitCode.Done, ran.Code);
        Assert.Contains("temperature 100.5 °C, detector 0.5, flame yes", ran.Output, StringComparison.Ordinal);
        Assert.Contains("| 1,100.5,0.5,1\n", ran.Output, StringComparison.Ordinal);
        Assert.Contains("REFUSED column 1 (time): given \"x\"", ran.Output, StringComparison.Ordinal);
        Assert.StartsWith("10 lines, ", ran.Error, StringComparison.Ordinal);

        var plain = await WhileSendingAsync("\u0002hello\u0003", TestContext.Current.CancellationToken, "watch", "--port", _pair.Port, "--line-end", "\\x03", "--lines", "3");
        Assert.Equal(ExitCode.Done, plain.Code);
        Assert.Equal(3, plain.Output.Split('\n', StringSplitOptions.RemoveEmptyEntries).Count(line => line.EndsWith("  \\x02hello", StringComparison.Ordinal)));
    }

    [Fact(Timeout = 30000)]
    public async Task Bytes_without_a_line_end_are_told_at_the_end_of_a_watch()
    {
        var ran = await WhileSendingAsync("1,2;", TestContext.Current.CancellationToken, "watch", "--port", _pair.Port, "--seconds", "0.6");

        Assert.Equal((ExitCode.Failed, ""), (ran.Code, ran.Output));
        Assert.Matches("^0 lines, 0 read, 0 refused; [0-9]+ bytes came and no whole line: check baud rate and line end\n$", ran.Error);
    }

    [Fact(Timeout = 30000)]
    public async Task Polled_tester_is_asked_and_both_directions_are_recorded_and_decoded_again()
    {
        var (file, config) = (Path.Combine(_folder, "p.wire"), Path.Combine(_folder, "polled.json"));
        await File.WriteAllTextAsync(
            config,
            $$"""{ "testers": [ { "id": "p", "source": { "kind": "serial", "port": "{{_pair.Port}}", "poll": { "periodMilliseconds": 100, "commands": [ { "send": "READ\\n", "columns": [ { "channel": "temperature", "unit": "degC" } ] } ] } } } ] }""",
            TestContext.Current.CancellationToken);
        _pair.Listen(_ => _pair.Send("182.4\n"));

        var recorded = await RunAsync("record", file, "p", "--config", config, "--seconds", "1.5");
        Assert.Equal((ExitCode.Done, ""), (recorded.Code, recorded.Error));
        Assert.Contains(" out READ\\n\n", await File.ReadAllTextAsync(file, TestContext.Current.CancellationToken), StringComparison.Ordinal);
        var played = Ran.Command(DevicesCommand.Build(), "play", file, "p", "--config", config);
        Assert.Equal(ExitCode.Done, played.Code);
        Assert.InRange(played.Output.Split('\n').Count(line => line.EndsWith("temperature 182.4 °C".PadRight(56) + "  | 182.4", StringComparison.Ordinal)), 5, 20);
    }

    [Fact(Timeout = 30000)]
    public async Task List_says_what_speaks_where_it_may_listen()
    {
        var ran = await WhileSendingAsync("1,100.5,0.5,1\n", TestContext.Current.CancellationToken, "list", "--config", ConfigPath, "--listen", "1");

        Assert.Equal(ExitCode.Done, ran.Code);
        Assert.Contains("used by       bench-1", ran.Output, StringComparison.Ordinal);
        Assert.Matches("state         [0-9]+ lines at 9600 baud, [0-9]+ read; the first: 1,100.5,0.5,1\n", ran.Output);
    }

    [Fact(Timeout = 30000)]
    public async Task Recorded_bytes_are_those_of_the_wire_and_are_said_again_in_their_timing()
    {
        var file = Path.Combine(_folder, "a.wire");
        var ran = await WhileSendingAsync("1,100.5,0.5,1\n", TestContext.Current.CancellationToken, "record", file, "bench-1", "--config", ConfigPath, "--seconds", "1.5");
        Assert.Equal((ExitCode.Done, ""), (ran.Code, ran.Error));
        Assert.Matches($"^{file}: [0-9]+ bytes in, 0 bytes out\n$", ran.Output);

        var played = Ran.Command(DevicesCommand.Build(), "play", file, "bench-1", "--config", ConfigPath);
        Assert.Equal(ExitCode.Done, played.Code);
        var read = played.Output.Split('\n').Count(line => line.Contains("temperature 100.5 °C", StringComparison.Ordinal));
        Assert.InRange(read, 5, 100);

        // The far end says what was recorded; the near end is watched as the tester that it was.
        var start = TimeProvider.System.GetTimestamp();
        var watching = RunAsync("watch", "bench-1", "--config", ConfigPath, "--lines", read.ToString(System.Globalization.CultureInfo.InvariantCulture), "--seconds", "15");
        await SourceSamples.Pause(0.5, TestContext.Current.CancellationToken);
        var said = await RunAsync("play", file, "--to", _pair.Far, "--speed", "2");
        Assert.Equal((ExitCode.Done, ""), (said.Code, said.Error));
        Assert.Matches("^[0-9]+ bytes said to ", said.Output);
        Assert.InRange(TimeProvider.System.GetElapsedTime(start).TotalSeconds, 0.9, 5);
        Assert.StartsWith($"{read} lines, {read} read", (await watching).Error, StringComparison.Ordinal);
    }

    private static Task<Ran> RunAsync(params string[] arguments) => Task.Run(() => Ran.Command(DevicesCommand.Build(), arguments), TestContext.Current.CancellationToken);

    private async Task<Ran> WhileSendingAsync(string text, CancellationToken cancellationToken, params string[] arguments)
    {
        var running = RunAsync(arguments);
        while (!running.IsCompleted)
        {
            _pair.Send(text);
            await SourceSamples.Pause(0.1, cancellationToken);
        }

        return await running;
    }
}
