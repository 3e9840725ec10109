using System.Globalization;
using Acquire.Core.Readings;
using Acquire.EndToEnd.Tests.Rig;
using Acquire.Service.Live;
using Xunit;

namespace Acquire.EndToEnd.Tests;

/// <summary>A tester that is asked for its registers, over the network and on a serial line, by a service in a process of its own.</summary>
public sealed class ModbusRunTests
{
    private const string Bench = "bench-1";

    // 30.0 °C in tenths, and 0.03125 as a float (IEEE 754: 0x3D000000).
    private const string Unit = "1=300,0x3D00,0";
    private const string Registers = """
        "unitId": 1, "periodMilliseconds": 50, "timeoutMilliseconds": 300, "registers": [
          { "channel": "temperature", "unit": "degC", "address": 0, "scale": 0.1 }, { "channel": "detector", "address": 1, "type": "float32" } ]
        """;

    [Fact(Timeout = 120_000)]
    public async Task Readings_over_the_network_are_archived_and_a_server_that_was_away_leaves_a_gap_and_nothing_false()
    {
        using var folder = new TestFolder();
        var port = Installed.FreePort();
        await using var server = await PymodbusServer.TcpAsync(port, Unit);
        await using var service = await RunningService.ServeAsync(folder, ConfigText.Of(ConfigText.Polled(Bench, string.Create(CultureInfo.InvariantCulture, $$""" "kind": "modbus-tcp", "host": "127.0.0.1", "port": {{port}}, {{Registers}} """))));
        await service.Api.ConnectedAsync(Bench);
        var run = await service.Api.StartAsync(Bench, Specimens.Of(188, 31));
        await service.Api.ArchivedAsync(run.Id, 40);

        await server.KillAsync();
        await Waiting.ForAsync(() => service.Api.TesterAsync(Bench), seen => seen.Alarms.Any(alarm => alarm.Code == "source-down"), "the lost server is alarmed");
        await using var again = await PymodbusServer.TcpAsync(port, Unit);
        var seen = await service.Api.ConnectedAsync(Bench);
        await service.Api.ArchivedAsync(run.Id, seen.Counters.Rows + 40);
        var closed = await service.Api.StopAsync(run.Id);

        var rows = await service.Api.RowsAsync(run.Id);
        Assert.Equal(closed.ArchivedRows, rows.Count);
        AssertSound(rows);
        Assert.InRange((await service.Api.TesterAsync(Bench)).Counters.Missed, 4, 400);
        Assert.Equal(0, await service.TerminateAsync());
    }

    [Fact(Timeout = 120_000)]
    public async Task Readings_from_a_serial_line_are_archived()
    {
        using var folder = new TestFolder();
        await using var line = await SocatPair.PlugInAsync(folder);
        await using var units = PymodbusServer.Rtu(line.TesterEnd, Unit);
        await using var service = await RunningService.ServeAsync(folder, ConfigText.Of(ConfigText.Polled(Bench, $$""" "kind": "modbus-rtu", "port": "{{line.ServiceEnd}}", "baudRate": 115200, {{Registers}} """)));
        await service.Api.ConnectedAsync(Bench);
        var run = await service.Api.StartAsync(Bench, Specimens.Of(188, 32));

        await service.Api.ArchivedAsync(run.Id, 40);
        await service.Api.StopAsync(run.Id);

        AssertSound(await service.Api.RowsAsync(run.Id));
        Assert.Equal((0, ConnectionState.Up), ((await service.Api.TesterAsync(Bench)).Counters.Malformed, (await service.Api.TesterAsync(Bench)).Connection));
    }

    private static void AssertSound(IReadOnlyList<ReadingRow> rows)
    {
        Assert.InRange(rows.Count, 40, 10_000);
        Assert.All(rows, row => Assert.Equal((30.0, 0.03125), (row.TemperatureCelsius, row.Detector)));
        Assert.All(rows.Zip(rows.Skip(1)), pair => Assert.True(pair.Second.AtSeconds > pair.First.AtSeconds, "Times only go forward."));
    }
}
