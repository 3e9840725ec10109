using Acquire.Service.CommandLine;
using Acquire.Service.Live;
using Acquire.Service.Tests.CommandLine;
using Acquire.Service.Tests.Hosting.Reloading;
using Acquire.Service.Tests.Sources;
using Acquire.Service.Tests.Sources.Modbus;
using Acquire.Service.Tests.Sources.Mqtt;
using Acquire.Service.Tests.Sources.Serial;
using Xunit;

namespace Acquire.Service.Tests.Hosting;

/// <summary>Runs of the whole service whose wires are kept, fetched by the API and decoded again with `acquire devices play`.</summary>
public sealed class CapturedRunTests
{
    private readonly string _folder = TestFolders.Make("acquire-captured-");

    [Fact(Timeout = 60000)]
    public async Task Serial_wire_of_a_run_is_decoded_again_to_the_rows_of_the_run()
    {
        PtyPair.SkipWithoutSocat();
        var token = TestContext.Current.CancellationToken;
        using var pair = new PtyPair();
        await pair.PlugInAsync(token);
        var file = File($$""" "kind": "serial", "port": "{{pair.Port}}", {{SourceSamples.FullColumns}} """);
        await using var bench = await ReloadBench.StartAsync(file, token);
        await bench.UntilAsync(() => bench.Lanes.Find("a")!.Overview().Connection == ConnectionState.Up, "the port");
        await SourceSamples.Pause(0.3, token);
        var run = await RunAsync(bench, i =>
        {
            pair.Send(FormattableString.Invariant($"{i},{60 + i}.5,0.1,0\n") + (i == 3 ? "broken\n" : ""));
            return Task.CompletedTask;
        });

        var played = await PlayAsync(bench, run, file);
        Assert.Contains("| broken", played, StringComparison.Ordinal);
        Assert.Equal(bench.Archive.ReadRows(run).Count(), played.Split('\n').Count(line => line.Contains("temperature 6", StringComparison.Ordinal)));
    }

    [Fact(Timeout = 60000)]
    public async Task Messages_of_a_run_are_decoded_again_with_their_topics()
    {
        var token = TestContext.Current.CancellationToken;
        var port = Mosquitto.FreePort();
        var file = File(""" "kind": "mqtt", "topics": [ { "filter": "a/t", "payload": "number", "channel": "temperature", "unit": "degC" }, { "filter": "a/d", "payload": "number", "channel": "detector" } ] """).Insert(1, $$""" "mqtt": { "port": {{port}} }, """);
        await using var bench = await ReloadBench.StartAsync(file, token);
        using var publisher = await Publisher.ConnectAsync(port, token);
        var run = await RunAsync(bench, async i =>
        {
            await publisher.SendAsync("a/t", FormattableString.Invariant($"{60 + i}"), token);
            await publisher.SendAsync("a/d", i == 3 ? "x" : "0.25", token);
        });

        var played = await PlayAsync(bench, run, file);
        Assert.Contains("REFUSED topic a/d, payload: given \"x\"", played, StringComparison.Ordinal);
        Assert.Contains("temperature 65 °C", played, StringComparison.Ordinal);
        Assert.Contains("detector 0.25", played, StringComparison.Ordinal);
    }

    [Theory(Timeout = 60000)]
    [InlineData(false)]
    [InlineData(true)]
    public async Task Modbus_wire_of_a_run_is_decoded_again(bool serial)
    {
        PymodbusServer.SkipWithout();
        var token = TestContext.Current.CancellationToken;
        using var pair = new PtyPair();
        var port = Mosquitto.FreePort();
        if (serial)
        {
            PtyPair.SkipWithoutSocat();
            await pair.PlugInAsync(token);
            pair.LetGo();
        }

        using var server = serial ? PymodbusServer.Rtu(pair.Far, "1") : PymodbusServer.Tcp(port, "1");
        await server.StartAsync(token);
        await server.SetAsync(1, "holding", 0, 60);
        var wire = serial ? $$""" "kind": "modbus-rtu", "port": "{{pair.Port}}", "baudRate": 115200, "parity": "none" """ : $$""" "kind": "modbus-tcp", "host": "127.0.0.1", "port": {{port}} """;
        var file = File($$"""{{wire}}, "unitId": 1, "periodMilliseconds": 50, "registers": [ { "channel": "temperature", "unit": "degC", "address": 0 } ] """);
        await using var bench = await ReloadBench.StartAsync(file, token);
        var run = await RunAsync(bench, _ => SourceSamples.Pause(0.05, token));

        var played = await PlayAsync(bench, run, file);
        Assert.Contains("temperature 60 °C".PadRight(56) + "  | 003C", played, StringComparison.Ordinal);
    }

    [Fact(Timeout = 60000)]
    public async Task Run_whose_wire_was_not_kept_says_so_and_an_unknown_one_is_not_found()
    {
        await using var bench = await ReloadBench.StartAsync(File(""" "kind": "mqtt", "topics": [ { "filter": "a", "payload": "number", "channel": "temperature", "unit": "degC" } ] """).Replace("\"capture\": {},", "", StringComparison.Ordinal).Insert(1, $$""" "mqtt": { "port": {{Mosquitto.FreePort()}} }, """), TestContext.Current.CancellationToken);
        var run = (await bench.StartRunAsync("a")).Id;

        Assert.Contains("was not kept", await bench.RefusedAsync($"/api/runs/{run}/wire"), StringComparison.Ordinal);
        Assert.Contains("there is no run", await bench.RefusedAsync("/api/runs/none/wire"), StringComparison.Ordinal);
        Assert.Null((await bench.GetAsync<RunDetail>($"/api/runs/{run}")).WireBytes);
    }

    private static string File(string source) => $$"""{ "testers": [ { "id": "a", "capture": {}, "source": { {{source}} } } ] }""";

    private static async Task<string> RunAsync(ReloadBench bench, Func<int, Task> speak)
    {
        var run = (await bench.StartRunAsync("a")).Id;
        for (var i = 0; i < 8; i++)
        {
            await speak(i);
        }

        await bench.UntilAsync(() => bench.Archive.ArchivedRows(run) >= 8, "the rows");
        await bench.StopRunAsync(run);
        Assert.True((await bench.GetAsync<RunDetail>($"/api/runs/{run}")).WireBytes > 0);
        return run;
    }

    private async Task<string> PlayAsync(ReloadBench bench, string run, string config)
    {
        var (wire, file) = (Path.Combine(_folder, "run.wire"), Path.Combine(_folder, "acquire.json"));
        await System.IO.File.WriteAllTextAsync(file, config, TestContext.Current.CancellationToken);

        // The end of a run does not wait for the end of its file.
        var text = "";
        for (var size = -1; size != text.Length; text = await bench.TextAsync($"/api/runs/{run}/wire"))
        {
            size = text.Length;
            await SourceSamples.Pause(0.2, TestContext.Current.CancellationToken);
        }

        await System.IO.File.WriteAllTextAsync(wire, text, TestContext.Current.CancellationToken);
        var ran = Ran.Command(DevicesCommand.Build(), "play", wire, "a", "--config", file);
        Assert.Equal(ExitCode.Done, ran.Code);
        return ran.Output;
    }
}
