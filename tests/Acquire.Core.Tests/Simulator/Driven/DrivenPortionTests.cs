using Acquire.Core.Control;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator.Driven;

/// <summary>Equilibrium procedures in which the program keeps the block and applies the flame, and a simulated person charges, in simulated time.</summary>
public sealed class DrivenPortionTests(ITestOutputHelper output)
{
    [Theory]
    [InlineData(61.3, 61, 1)]
    [InlineData(61.3, 61, 7)]
    [InlineData(73.6, 70, 2)]
    [InlineData(52.2, 56, 3)]
    [InlineData(112.4, 111, 4)]
    public void A_driven_search_by_steps_is_valid_and_finds_the_lowest_temperature_that_flashes(double flash, double expected, int seed)
    {
        var run = Play(Block("iso-3679-2022-b", flash, (ulong)seed) is var usual ? usual with { Run = usual.Run with { ExpectedFlashCelsius = expected } } : usual);

        Assert.Equal(Verdict.Valid, run.Result.Verdict);

        // The lowest whole degree that flashes lies within one step above the truth; the portion is a little cooler than the block.
        Assert.InRange(run.Result.Flash!.ObservedCelsius - flash, -0.5, 1.8);
        Assert.Equal([TripCodes.ResultComplete], run.Figures.Cuts.Select(cut => cut.Code));
        EachPortionOnce(run);
    }

    [Theory]
    [InlineData(62, true)]
    [InlineData(58, false)]
    public void A_driven_test_of_a_specification_says_whether_it_flashes(double specification, bool flashes)
    {
        var usual = Block("iso-3679-2022-a", 60, 5);
        var run = Play(usual with { Run = usual.Run with { SpecificationCelsius = specification, ExpectedFlashCelsius = null } });

        Assert.Equal(Verdict.Valid, run.Result.Verdict);
        Assert.Equal(flashes, run.Result.Equilibrium!.Flashed);
        Assert.Equal([TripCodes.ResultComplete], run.Figures.Cuts.Select(cut => cut.Code));
        EachPortionOnce(run);
    }

    [Fact]
    public void A_heater_that_is_not_known_and_a_tenth_of_the_commands_lost_cost_nothing()
    {
        var usual = Block("iso-3679-2022-b", 64.4, 7) with { Faults = [new(TesterFaultKind.DropsCommands, 0, 0.1)] };
        var run = Play(usual, options => options with { Settings = options.Settings with { Heater = HeaterModel.Unknown } });

        Assert.Equal(Verdict.Valid, run.Result.Verdict);
        Assert.InRange(run.Result.Flash!.ObservedCelsius - 64.4, -0.5, 1.5);
    }

    [Fact]
    public void A_thermometer_beside_the_block_ends_the_heating()
    {
        var run = Play(Block("iso-3679-2022-b", 80, 7) with { Faults = [new(TesterFaultKind.ThermometerOut, 0)] });

        Assert.Equal([TripCodes.NoRise], run.Figures.Cuts.Select(cut => cut.Code));
        Assert.Equal(Verdict.Invalid, run.Result.Verdict);
        Assert.Empty(run.Truth.Applications);
    }

    [Fact]
    public void A_relay_that_sticks_is_told_before_the_block_is_far_above_its_temperature()
    {
        var run = Play(Block("iso-3679-2022-b", 80, 8) with { Faults = [new(TesterFaultKind.StuckRelay, 120)] });

        Assert.Contains(run.Figures.Cuts, cut => cut.Code is TripCodes.OverTemperature or TripCodes.NotObeyed);
        Assert.NotEqual(Verdict.Valid, run.Result.Verdict);
        Assert.Empty(run.Truth.Applications);
    }

    [Fact]
    public void A_search_that_comes_to_what_the_tester_may_not_reach_is_cut_and_says_why()
    {
        var usual = Block("iso-3679-2022-b", 90, 9);
        var run = Play(usual with { Run = usual.Run with { ExpectedFlashCelsius = 70 } }, options => options with { Settings = options.Settings with { HighestCelsius = 85 } });

        Assert.Contains("80.0 °C is wanted", run.Figures.Cuts.Single(cut => cut.Code == TripCodes.SetTooHigh).Text, StringComparison.Ordinal);
        Assert.InRange(run.Rows.Max(row => row.TemperatureCelsius), 74, 76);
        Assert.Equal(Verdict.Invalid, run.Result.Verdict);
    }

    private static void EachPortionOnce(DrivenRun run)
    {
        var charged = run.Facts.OfType<PortionCharged>().Count();
        Assert.Equal(charged, run.Truth.Applications.Count);
        Assert.Equal(charged, run.Result.Equilibrium!.Tests.Count);
        Assert.All(run.Result.Equilibrium.Tests, test => Assert.True(test.Counts));

        // 2.5 s for opening, applying and closing: ASTM D3828, clause 11.
        Assert.All(run.Truth.Applications, made => Assert.InRange(made.DurationSeconds, 1.2, 2.5));
        Assert.All(run.Result.Equilibrium.Tests, test => Assert.Equal(test.SetCelsius <= 100 ? 60 : 120, test.AppliedSeconds - test.ChargedSeconds, 1.0));
    }

    private static DrivenOptions Block(string method, double flash, ulong seed) =>
        DrivenSpecimens.Of(method, flash, seed) is var usual ? usual with { Run = usual.Run with { RowsPerSecond = 25 } } : throw new InvalidOperationException();

    private DrivenRun Play(DrivenOptions tester, Func<DrivenRunOptions, DrivenRunOptions>? change = null)
    {
        var options = DrivenRunOptions.For(tester);
        var run = DrivenRun.Play(change?.Invoke(options) ?? options);
        using var text = new StringWriter();
        text.WriteLine($"{tester.Run.Method.Id}: {run.Result.Verdict}, flash {run.Result.Flash?.ObservedCelsius:0.0} (really {run.Truth.FlashAtStationCelsius:0.0}), {run.Truth.EndSeconds:0} s");
        run.Figures.WriteText(text);
        foreach (var test in run.Result.Equilibrium?.Tests ?? [])
        {
            text.WriteLine($"  {test.SetCelsius} read {test.AppliedCelsius:0.00} waited {test.AppliedSeconds - test.ChargedSeconds:0.0} {test.Outcome} {test.Spoiled}");
        }

        foreach (var finding in run.Result.Findings)
        {
            text.WriteLine($"  {finding.Weight} {finding.Code} at {finding.TimeSeconds:0.0} s: {finding.Text}");
        }

        output.WriteLine(text.ToString());
        return run;
    }
}
