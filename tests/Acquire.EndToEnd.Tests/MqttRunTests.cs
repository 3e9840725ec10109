using System.Globalization;
using Acquire.Core.Results;
using Acquire.EndToEnd.Tests.Rig;
using Xunit;

namespace Acquire.EndToEnd.Tests;

/// <summary>A tester that publishes MQTT, to the broker inside the service and to one of another make.</summary>
public sealed class MqttRunTests
{
    private const string Bench = "bench-1";

    [Fact(Timeout = 600_000)]
    public async Task A_run_through_the_embedded_broker_gives_the_truth()
    {
        using var folder = new TestFolder();
        var port = Installed.FreePort();
        await using var service = await RunningService.ServeAsync(folder, ConfigText.Embedded(port, ConfigText.Mqtt(Bench)));
        await RunAsync(service, port, 21, "astm-d92-18");
    }

    [Fact(Timeout = 600_000)]
    public async Task A_run_through_a_broker_of_another_make_gives_the_truth()
    {
        using var folder = new TestFolder();
        var port = Installed.FreePort();
        await using var broker = await Mosquitto.StartAsync(folder, port);
        await using var service = await RunningService.ServeAsync(folder, ConfigText.External(port, ConfigText.Mqtt(Bench)));
        await RunAsync(service, port, 22, "iso-2592-2017");
    }

    private static async Task RunAsync(RunningService service, int brokerPort, ulong seed, string method)
    {
        var specimen = Specimens.Of(188, seed, method);
        await service.Api.ConnectedAsync(Bench);
        var run = await service.Api.StartAsync(Bench, specimen);

        await using var tester = SimulateCommand.Speak(specimen, "--mqtt", string.Create(CultureInfo.InvariantCulture, $"127.0.0.1:{brokerPort}"), "--tester", Bench);
        var said = await SimulateCommand.SaidAsync(tester);
        var closed = await service.Api.FinishedAsync(run.Id, said.LongCount());

        Truth.AssertMet(said.Truth, closed.Result);
        Assert.Equal(Verdict.Valid, closed.Result!.Verdict);
        Truth.AssertSame(said.Take((int)closed.ArchivedRows), await service.Api.RowsAsync(run.Id));
        Assert.Equal(said.LongCount(), (await service.Api.TesterAsync(Bench)).Counters.Rows);
    }
}
