using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.EndToEnd.Tests.Rig;
using Xunit;

namespace Acquire.EndToEnd.Tests.Driven;

/// <summary>The service drives a tester through a whole determination, faster than life.</summary>
public sealed class DrivenRunTests
{
    // What a busy machine bears with the long passes of the quick method; with passes of 1 s it would not be sure, see docs/simulator.md.
    private const double Speed = 10;

    [Fact(Timeout = 300_000)]
    public async Task A_run_driven_over_a_serial_line_is_valid_and_finds_flash_and_fire()
    {
        using var folder = new TestFolder();
        await using var line = await SocatPair.PlugInAsync(folder);
        await using var service = await DrivenBench.ServeAsync(folder, ConfigText.Of(ConfigText.DrivenSerial(DrivenBench.Id, line.ServiceEnd, DrivenBench.Drive)));
        await using var bench = DrivenBench.OnPort(line.TesterEnd, Speed);
        await DriveAsync(service, bench);
    }

    [Fact(Timeout = 300_000)]
    public async Task A_run_driven_through_the_embedded_broker_is_valid_and_finds_flash_and_fire()
    {
        using var folder = new TestFolder();
        var port = Installed.FreePort();
        await using var service = await DrivenBench.ServeAsync(folder, ConfigText.Embedded(port, ConfigText.DrivenMqtt(DrivenBench.Id, DrivenBench.Drive)));
        await using var bench = DrivenBench.OnBroker(port, Speed);
        await DriveAsync(service, bench);
    }

    private static async Task DriveAsync(RunningService service, DrivenBench bench)
    {
        var id = await bench.HeatAsync(service.Api);
        var closed = await Waiting.ForAsync(() => service.Api.RunAsync(id), run => run.Summary.ClosedAt is not null, "the run closes by itself", Waiting.RunSeconds);

        TestContext.Current.TestOutputHelper?.WriteLine(string.Join('\n', closed.Summary.Result!.Findings));
        TestContext.Current.TestOutputHelper?.WriteLine(string.Join('\n', closed.Events.OfType<HeaterFact>()));
        Truth.AssertMet(bench.Talk.Look(tester => tester.Cup.Truth()), closed.Summary.Result);
        Assert.Equal(Verdict.Valid, closed.Summary.Result!.Verdict);
        Assert.Equal("Test Person", Assert.Single(closed.Events.OfType<HeaterTurnedOn>()).Person);
        Assert.Equal(0, bench.Heater);
        Assert.Equal(0, bench.Talk.Malformed);
        Assert.Equal(0, (await service.Api.TesterAsync(DrivenBench.Id)).Counters.Malformed);
        Assert.Equal(0, await service.TerminateAsync());
    }
}
