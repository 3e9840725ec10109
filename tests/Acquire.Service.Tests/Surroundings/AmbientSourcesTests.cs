using Acquire.Core.Readings;
using Acquire.Service.Lanes;
using Acquire.Service.Live;
using Acquire.Service.Sources;
using Acquire.Service.Surroundings;
using Acquire.Service.Tests.Sources;
using Acquire.Service.Tests.Sources.Modbus;
using Acquire.Service.Tests.Sources.Mqtt;
using Acquire.Service.Tests.Sources.Serial;
using Microsoft.Extensions.Logging.Abstractions;
using Xunit;

namespace Acquire.Service.Tests.Surroundings;

/// <summary>Shared sources on real wires of every kind, read by the service's own host.</summary>
public sealed class AmbientSourcesTests
{
    [Fact(Timeout = 30000)]
    public async Task Barometer_on_a_serial_line_is_read_and_what_cannot_be_a_pressure_is_refused()
    {
        PtyPair.SkipWithoutSocat();
        var token = TestContext.Current.CancellationToken;
        using var pair = new PtyPair();
        await pair.PlugInAsync(token);
        await ReadAsync(
            $$""" "kind": "serial", "port": "{{pair.Port}}", "columns": [ { "channel": "pressure", "unit": "hPa" }, { "channel": "ambient", "unit": "degC" } ] """,
            async station =>
            {
                await SourceSamples.Until(() => station.Overview().Connection == ConnectionState.Up, "the port", token);
                await SourceSamples.Pause(0.2, token);
                pair.Send("12,23.5\n996.17,23.5\n");
            },
            RowChannels.Pressure,
            99.617,
            station => Assert.Contains("given 12 hPa; allowed: 45 to 110 kPa", station.Overview().LastRefusal, StringComparison.Ordinal));
    }

    [Fact(Timeout = 30000)]
    public Task Air_by_MQTT_is_read()
    {
        var port = Mosquitto.FreePort();
        return ReadAsync(
            """ "kind": "mqtt", "topics": [ { "filter": "{tester}/{channel}", "payload": "number", "channel": "air", "unit": "m/s" } ] """,
            async _ =>
            {
                using var publisher = await Publisher.ConnectAsync(port, TestContext.Current.CancellationToken);
                await publisher.SendAsync("room/air", "0.12", TestContext.Current.CancellationToken);
            },
            RowChannels.Air,
            0.12,
            mqtt: $$"""{ "port": {{port}} }""");
    }

    [Fact(Timeout = 30000)]
    public async Task Room_by_Modbus_is_read()
    {
        PymodbusServer.SkipWithout();
        var token = TestContext.Current.CancellationToken;
        var port = Mosquitto.FreePort();
        using var server = PymodbusServer.Tcp(port, "1");
        await server.StartAsync(token);
        await server.SetAsync(1, "holding", 0, 235);
        await ReadAsync(
            $$""" "kind": "modbus-tcp", "host": "127.0.0.1", "port": {{port}}, "unitId": 1, "registers": [ { "channel": "ambient", "unit": "degC", "address": 0, "scale": 0.1 } ] """,
            _ => Task.CompletedTask,
            RowChannels.Ambient,
            23.5);
    }

    private static async Task ReadAsync(string source, Func<AmbientStation, Task> speak, RowChannels channel, double expected, Action<AmbientStation>? more = null, string mqtt = "{}")
    {
        var token = TestContext.Current.CancellationToken;
        var config = SourceSamples.Config($$"""{ "mqtt": {{mqtt}}, "ambient": [ { "id": "room", "source": { {{source}} } } ] }""");
        var station = new AmbientStation(config.Ambient[0], TimeProvider.System);
        using var host = new SourceHost(config, new Dictionary<string, LaneInbox> { ["room"] = station.Inbox }, TimeProvider.System, NullLoggerFactory.Instance);
        using var room = new AmbientHost(new([station]));
        await room.StartAsync(token);
        await host.StartAsync(token);
        await speak(station);
        await SourceSamples.Until(() => station.Find(channel) is not null, "the reading", token, () => station.Overview().ToString());

        Assert.Equal(expected, station.Find(channel)!.Value.Value, 9);
        more?.Invoke(station);
        await host.StopAsync(token);
        await room.StopAsync(token);
    }
}
