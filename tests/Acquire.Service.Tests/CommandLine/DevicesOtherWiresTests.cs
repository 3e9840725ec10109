using Acquire.Service.CommandLine;
using Acquire.Service.Tests.Sources;
using Acquire.Service.Tests.Sources.Modbus;
using Acquire.Service.Tests.Sources.Mqtt;
using Xunit;

namespace Acquire.Service.Tests.CommandLine;

/// <summary>`acquire devices watch` and `record` on wires that are no serial lines.</summary>
public sealed class DevicesOtherWiresTests
{
    private readonly string _folder = TestFolders.Make("acquire-wires-");

    [Fact(Timeout = 60000)]
    public async Task Modbus_tester_is_watched_with_its_registers_beside_and_recorded_and_played()
    {
        PymodbusServer.SkipWithout();
        var token = TestContext.Current.CancellationToken;
        var port = Mosquitto.FreePort();
        using var server = PymodbusServer.Tcp(port, "1");
        await server.StartAsync(token);
        await server.SetAsync(1, "holding", 0, 60);
        var config = await WriteAsync($$"""{ "testers": [ { "id": "m", "source": { "kind": "modbus-tcp", "host": "127.0.0.1", "port": {{port}}, "unitId": 1, "periodMilliseconds": 50, "registers": [ { "channel": "temperature", "unit": "degC", "address": 0 } ] } } ] }""", token);

        var watched = await RunAsync("watch", "m", "--config", config, "--lines", "3", "--seconds", "20");
        Assert.Equal((ExitCode.Done, 3), (watched.Code, watched.Output.Split("temperature 60 °C".PadRight(56) + "  | 003C").Length - 1));
        var file = Path.Combine(_folder, "m.wire");
        var recorded = await RunAsync("record", file, "m", "--config", config, "--seconds", "1.5");
        Assert.Equal(ExitCode.Done, recorded.Code);
        var played = await RunAsync("play", file, "m", "--config", config);
        Assert.Contains("temperature 60 °C", played.Output, StringComparison.Ordinal);
        var refused = await RunAsync("watch", "m", "--config", config, "--port", "/dev/x");
        Assert.Equal(ExitCode.BadInput, refused.Code);
        Assert.StartsWith("--port: is given beside a tester that is read by modbus tcp", refused.Error, StringComparison.Ordinal);
    }

    [Fact(Timeout = 60000)]
    public async Task Tester_behind_a_broker_is_watched_beside_the_service_and_the_session_of_the_service_is_not_touched()
    {
        var token = TestContext.Current.CancellationToken;
        using var broker = new Mosquitto();
        await broker.StartAsync(token);
        var config = await WriteAsync(
            $$"""{ "mqtt": { "mode": "external", "connection": "mqtt://127.0.0.1:{{broker.Port}}?clientId=acquire-test" }, "ambient": [ { "id": "room", "source": { "kind": "mqtt", "topics": [ { "filter": "room", "payload": "number", "channel": "pressure", "unit": "hPa" } ] } } ], "testers": [] }""", token);
        using var publisher = await Publisher.ConnectAsync(broker.Port, token);
        var watching = RunAsync("watch", "room", "--config", config, "--lines", "2", "--seconds", "20");
        while (!watching.IsCompleted)
        {
            await publisher.SendAsync("room", "996.17", token);
            await SourceSamples.Pause(0.1, token);
        }

        var watched = await watching;
        Assert.Equal(ExitCode.Done, watched.Code);
        Assert.Contains("pressure 99.617 kPa".PadRight(56) + "  | 996.17", watched.Output, StringComparison.Ordinal);
    }

    [Fact(Timeout = 60000)]
    public async Task Tester_that_publishes_to_the_broker_inside_is_recorded_where_the_service_does_not_run()
    {
        var token = TestContext.Current.CancellationToken;
        var port = Mosquitto.FreePort();
        var (file, config) = (Path.Combine(_folder, "q.wire"), await WriteAsync($$"""{ "mqtt": { "port": {{port}} }, "testers": [ { "id": "q", "source": { "kind": "mqtt", "topics": [ {{SourceSamples.NumberTopic("q")}} ] } } ] }""", token));
        var recording = RunAsync("record", file, "q", "--config", config, "--seconds", "4");
        await SourceSamples.Until(() => File.Exists(file), "the file", token);
        await SourceSamples.Pause(1.5, token);
        using (var publisher = await Publisher.ConnectAsync(port, token))
        {
            await publisher.SendAsync("q", "21.5", token);
        }

        var recorded = await recording;
        Assert.Equal((ExitCode.Done, ""), (recorded.Code, recorded.Error));
        Assert.Contains(" message q\\x0021.5\n", await File.ReadAllTextAsync(file, token), StringComparison.Ordinal);
        var played = await RunAsync("play", file, "q", "--config", config);
        Assert.Contains("temperature 21.5 °C".PadRight(56) + "  | 21.5", played.Output, StringComparison.Ordinal);
    }

    private static Task<Ran> RunAsync(params string[] arguments) => Task.Run(() => Ran.Command(DevicesCommand.Build(), arguments), TestContext.Current.CancellationToken);

    private async Task<string> WriteAsync(string json, CancellationToken cancellationToken)
    {
        var path = Path.Combine(_folder, "acquire.json");
        await File.WriteAllTextAsync(path, json, cancellationToken);
        return path;
    }
}
