using System.Net;
using Acquire.Core.Control;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.EndToEnd.Tests.Rig;
using Xunit;

namespace Acquire.EndToEnd.Tests.Driven;

/// <summary>What the heater does when the service, the wire or the broker is gone. The tester is as fast as life here.</summary>
public sealed class DrivenFaultTests
{
    [Fact(Timeout = 120_000)]
    public async Task A_service_that_is_killed_heats_no_longer_than_a_lifetime_and_not_again_until_a_person_turns_the_heater_on()
    {
        using var folder = new TestFolder();
        var port = Installed.FreePort();
        await using var broker = await Mosquitto.StartAsync(folder, port);
        var config = ConfigText.External(port, ConfigText.DrivenMqtt(DrivenBench.Id, DrivenBench.Drive));
        await using var bench = DrivenBench.OnBroker(port, 1);
        string id;
        await using (var service = await DrivenBench.ServeAsync(folder, config))
        {
            id = await bench.HeatAsync(service.Api);
            await service.KillAsync();
            await bench.AssertCutAsync(bench.Talk.Look(tester => tester.Seconds));
        }

        await using var again = await DrivenBench.ServeAsync(folder, config);
        await again.Api.ConnectedAsync(DrivenBench.Id);
        Assert.Equal((false, 1), (await again.Api.TakenUpAsync(id)).Summary is var summary ? (summary.Interrupted, summary.Resumed) : default);
        await Waiting.ForAsync(() => again.Api.TesterAsync(DrivenBench.Id), seen => seen.Drive!.SecondsSinceAcknowledged < 1, "the tester obeys again");
        await DrivenBench.TrippedAsync(again.Api, TripCodes.Resumed);
        Assert.Equal(0, bench.Heater);

        await DrivenBench.TurnOnAsync(again.Api, id);
        await Waiting.UntilAsync(() => bench.Heater > 0, "a person has turned the heater on");
        await AssertStopsAsync(again, bench, id);
        Assert.Contains((await again.Api.RunAsync(id)).Events, fact => fact is HeaterCut { Code: TripCodes.Resumed, WasOn: true });
    }

    [Fact(Timeout = 120_000)]
    public async Task A_serial_cable_that_is_pulled_out_ends_the_heating_and_stands_in_the_record()
    {
        using var folder = new TestFolder();
        await using var line = await SocatPair.PlugInAsync(folder);
        await using var service = await DrivenBench.ServeAsync(folder, ConfigText.Of(ConfigText.DrivenSerial(DrivenBench.Id, line.ServiceEnd, DrivenBench.Drive)));
        await using var bench = DrivenBench.OnPort(line.TesterEnd, 1);
        var id = await bench.HeatAsync(service.Api);

        await line.PullOutAsync();
        await AssertCutAndToldAsync(service, bench, id);
    }

    [Fact(Timeout = 120_000)]
    public async Task A_broker_that_is_gone_ends_the_heating_and_stands_in_the_record()
    {
        using var folder = new TestFolder();
        var port = Installed.FreePort();
        await using var broker = await Mosquitto.StartAsync(folder, port);
        await using var service = await DrivenBench.ServeAsync(folder, ConfigText.External(port, ConfigText.DrivenMqtt(DrivenBench.Id, DrivenBench.Drive)));
        await using var bench = DrivenBench.OnBroker(port, 1);
        var id = await bench.HeatAsync(service.Api);

        await broker.KillAsync();
        await AssertCutAndToldAsync(service, bench, id);
    }

    private static async Task AssertCutAndToldAsync(RunningService service, DrivenBench bench, string id)
    {
        await bench.AssertCutAsync(bench.Talk.Look(tester => tester.Seconds));

        // Whether the lost connection or the silence is noticed first is a matter of moments.
        string[] codes = [TripCodes.NotAcknowledged, TripCodes.ReadingSilent];
        await DrivenBench.TrippedAsync(service.Api, codes);
        Assert.Equal(HttpStatusCode.Conflict, (await service.Api.HeaterOnAsync(id)).Status);
        var closed = await service.Api.StopAsync(id);
        Assert.Contains(closed.Result!.Findings, finding => finding.Code == FindingCodes.HeaterCut);
        Assert.Contains((await service.Api.RunAsync(id)).Events.OfType<HeaterCut>(), cut => cut.WasOn && codes.Contains(cut.Code));
    }

    private static async Task AssertStopsAsync(RunningService service, DrivenBench bench, string id)
    {
        var asked = bench.Talk.Look(tester => tester.Seconds);
        Assert.Equal(HttpStatusCode.OK, (await service.Api.HeaterOffAsync(id)).Status);
        await bench.AssertCutAsync(asked);
        var off = bench.Talk.Look(tester => tester.Cup.Truth().HeaterOffSeconds);
        Assert.True(off - asked < 1, $"off {off - asked} s after it was asked for");
    }
}
