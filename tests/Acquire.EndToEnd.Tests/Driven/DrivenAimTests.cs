using System.Net;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.EndToEnd.Tests.Rig;
using Acquire.Simulator;
using Xunit;

namespace Acquire.EndToEnd.Tests.Driven;

/// <summary>The service drives a scouting run, and a block with its portions, over a wire and faster than life.</summary>
public sealed class DrivenAimTests
{
    private const double Speed = 10;

    [Fact(Timeout = 300_000)]
    public async Task A_scouting_run_driven_over_a_serial_line_says_what_to_expect()
    {
        var specimen = DrivenBench.Options with { Run = DrivenBench.Options.Run with { Scouting = true, FireCelsius = null, ExpectedFlashCelsius = null } };
        using var folder = new TestFolder();
        await using var line = await SocatPair.PlugInAsync(folder);
        await using var service = await DrivenBench.ServeAsync(folder, ConfigText.Of(ConfigText.DrivenSerial(DrivenBench.Id, line.ServiceEnd, DrivenRunOptions.For(specimen).Settings)));
        await using var bench = DrivenBench.OnPort(line.TesterEnd, Speed, specimen);

        var id = await bench.HeatAsync(service.Api);
        var closed = await Waiting.ForAsync(() => service.Api.RunAsync(id), run => run.Summary.ClosedAt is not null, "the run closes by itself", Waiting.RunSeconds);

        TestContext.Current.TestOutputHelper?.WriteLine(string.Join('\n', closed.Summary.Result!.Findings));
        var truth = bench.Talk.Look(tester => tester.Cup.Truth());
        Assert.NotEqual(Verdict.Invalid, closed.Summary.Result!.Verdict);
        Assert.Equal(truth.Flash!.TemperatureCelsius, closed.Summary.Result.Flash!.ObservedCelsius, tolerance: 0.1);
        Assert.NotNull(closed.Summary.Result.Next);
        Assert.Equal(0, bench.Heater);
        Assert.Equal(0, await service.TerminateAsync());
    }

    [Fact(Timeout = 300_000)]
    public async Task A_specification_is_tested_by_a_fresh_portion_in_a_block_driven_through_the_embedded_broker()
    {
        var specimen = DrivenOptions.For(new() { Method = Specimens.Method("iso-3679-2022-a"), FlashCelsius = 38, SpecificationCelsius = 40, StartCelsius = 23, RowsPerSecond = 25, Seed = 42 });
        using var folder = new TestFolder();
        var port = Installed.FreePort();
        await using var service = await DrivenBench.ServeAsync(folder, ConfigText.Embedded(port, ConfigText.DrivenMqtt(DrivenBench.Id, DrivenRunOptions.For(specimen).Settings)));
        await using var bench = DrivenBench.OnBroker(port, Speed, specimen);

        var id = await bench.HeatAsync(service.Api);
        await Waiting.ForAsync(() => service.Api.TesterAsync(DrivenBench.Id), seen => seen.Status?.Phase == RunPhase.AwaitingPortion, "the block keeps its temperature", Waiting.RunSeconds);
        bench.Talk.Look(tester =>
        {
            tester.Cup.Charge(2);
            return true;
        });
        Assert.Equal(HttpStatusCode.OK, await service.Api.ChargeAsync(id, 2));
        var closed = await Waiting.ForAsync(() => service.Api.RunAsync(id), run => run.Summary.ClosedAt is not null, "the run closes by itself", Waiting.RunSeconds);

        var result = closed.Summary.Result!;
        TestContext.Current.TestOutputHelper?.WriteLine(string.Join('\n', result.Findings));
        var test = Assert.Single(result.Equilibrium!.Tests);
        TestContext.Current.TestOutputHelper?.WriteLine($"{test}");
        Assert.NotEqual(Verdict.Invalid, result.Verdict);
        Assert.True(result.Equilibrium.Flashed);
        Assert.Equal(40, test.AppliedCelsius!.Value, 0.5);
        Assert.Single(bench.Talk.Look(tester => tester.Cup.Truth()).Applications);
        Assert.Equal(0, bench.Heater);
        Assert.Equal(0, await service.TerminateAsync());
    }
}
