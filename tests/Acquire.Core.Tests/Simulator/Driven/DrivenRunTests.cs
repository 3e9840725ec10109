using Acquire.Core.Control;
using Acquire.Core.Results;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator.Driven;

/// <summary>Whole determinations in which the program drives the tester, in simulated time.</summary>
public sealed class DrivenRunTests(ITestOutputHelper output)
{
    /// <summary>Every method with a ramp that comes with the program, a specimen and the expected flash point's distance from it.</summary>
    public static TheoryData<string, double> Methods => new()
    {
        { "iso-2592-2017", 214 },
        { "astm-d92-18", 172 },
        { "bench-open-cup", 145 },
        { "iso-2719-2016-a", 118 },
        { "iso-2719-2016-b", 92 },
        { "iso-2719-2016-c", 104 },
        { "astm-d93-20-a", 162 },
        { "astm-d93-20-b", 84 },
        { "astm-d93-20-c", 98 },
        { "iso-13736-2021", 42 },
        { "astm-d56-22", 48 },
        { "astm-d1310-14", 66 },
    };

    [Theory]
    [MemberData(nameof(Methods))]
    public void A_driven_run_of_every_method_is_valid_and_finds_the_flash(string method, double flash)
    {
        var run = Play(DrivenSpecimens.Of(method, flash, 3));

        Assert.Equal(Verdict.Valid, run.Result.Verdict);
        Assert.NotNull(run.Truth.Flash);
        Assert.Equal(run.Truth.Flash.TemperatureCelsius, run.Result.Flash!.ObservedCelsius, 0.5);
        Assert.DoesNotContain(run.Result.Findings, finding => finding.Code.StartsWith("rate", StringComparison.Ordinal));
        Assert.Equal([TripCodes.ResultComplete], run.Figures.Cuts.Select(cut => cut.Code));
    }

    [Theory]
    [InlineData("stuck-relay:200", TripCodes.NotObeyed)]
    [InlineData("never-acknowledges:600", TripCodes.NotAcknowledged)]
    [InlineData("obeys-late:600:4", TripCodes.NotAcknowledged)]
    [InlineData("drops-commands:600:1", TripCodes.NotAcknowledged)]
    [InlineData("thermometer-out:0", TripCodes.NoRise)]
    [InlineData("ignores-flame:0", TripCodes.FlameNotObeyed)]
    public void A_faulty_tester_ends_with_the_heater_told_off_and_the_trip_that_says_why(string fault, string trip)
    {
        var run = Play(Faulty(fault));

        Assert.Contains(trip, run.Figures.Cuts.Select(cut => cut.Code));
        Assert.NotEqual(Verdict.Valid, run.Result.Verdict);
        Assert.Contains(run.Result.Findings, finding => finding.Code == FindingCodes.HeaterCut);
    }

    [Fact]
    public void The_heater_of_a_tester_that_never_acknowledges_cannot_be_turned_on()
    {
        var run = Play(Faulty("never-acknowledges:0"));

        Assert.False(run.Figures.TurnedOn);
        Assert.All(run.Rows, row => Assert.Equal(0, row.HeaterFraction));
    }

    [Fact]
    public void A_thermometer_that_falls_out_of_the_cup_ends_the_heating_within_seconds_and_the_run()
    {
        var run = Play(Faulty("thermometer-out:600"));

        Assert.Equal(Verdict.Invalid, run.Result.Verdict);
        Assert.InRange(run.Truth.HeaterOffSeconds, 600, 615);
        Assert.Equal(TripCodes.ReadingFell, run.Figures.Cuts[0].Code);
    }

    [Fact]
    public void A_tester_that_ignores_the_flame_is_stopped_after_three_passes()
    {
        var run = Play(Faulty("ignores-flame:0"));

        Assert.Equal(Verdict.Invalid, run.Result.Verdict);
        Assert.Contains(TripCodes.FlameNotObeyed, run.Figures.Cuts.Select(cut => cut.Code));
        Assert.Empty(run.Truth.Applications);
        // As the fourth pass is sent, 6 °C above the first; and what the hot metal still adds.
        var first = run.Plan.Rules.FirstApplicationCelsius;
        Assert.InRange(run.Rows.Max(row => row.TemperatureCelsius), first + 6, first + 20);
    }

    [Theory]
    [InlineData("drops-commands:0:0.1")]
    [InlineData("obeys-late:0:0.3")]
    public void A_tenth_of_the_commands_lost_or_all_late_by_a_third_of_a_second_costs_nothing(string fault)
    {
        var run = Play(Faulty(fault));

        Assert.Equal(Verdict.Valid, run.Result.Verdict);
        Assert.Equal(run.Truth.Flash!.TemperatureCelsius, run.Result.Flash!.ObservedCelsius, 0.5);
    }

    [Theory]
    [InlineData("k-uv")]
    [InlineData("pt100-ohm")]
    [InlineData("4-20-ma")]
    public void A_tester_may_send_the_signal_of_any_thermometer(string name)
    {
        Assert.True(ThermometerPresets.TryFind(name, new(2026, 7, 2), out var chain));
        var tester = DrivenSpecimens.Of("astm-d92-18", 160, 6);

        var run = Play(tester with { Run = tester.Run with { Thermometer = new() { Chain = chain } } });

        Assert.Equal(Verdict.Valid, run.Result.Verdict);
        Assert.Equal(run.Truth.Flash!.TemperatureCelsius, run.Result.Flash!.ObservedCelsius, tolerance: 0.1);
    }

    [Fact]
    public void An_open_circuit_turns_the_heater_off()
    {
        Assert.True(ThermometerPresets.TryFind("k-uv", new(2026, 7, 2), out var chain));
        var tester = DrivenSpecimens.Of("astm-d92-18", 160, 6);

        var run = Play(tester with { Run = tester.Run with { Thermometer = new() { Chain = chain, Faults = [new(SimulatedFaultKind.OpenCircuit, 400, 20)] } } });

        Assert.Contains(TripCodes.ReadingBad, run.Figures.Cuts.Select(cut => cut.Code));
        Assert.InRange(run.Truth.HeaterOffSeconds, 400, 401);
    }

    private static DrivenOptions Faulty(string fault)
    {
        Assert.True(TesterFault.TryParse(fault, "fault", out var parsed, out _));
        return DrivenSpecimens.Of("iso-2592-2017", 190, 5) with { Faults = [parsed] };
    }

    private DrivenRun Play(DrivenOptions tester)
    {
        // Half as many readings as usual are quite enough, and take half the time.
        var run = DrivenRun.Play(DrivenRunOptions.For(tester with { Run = tester.Run with { RowsPerSecond = 25 } }));
        using var text = new StringWriter();
        text.WriteLine($"{tester.Run.Method.Id}: {run.Result.Verdict}, flash {run.Result.Flash?.ObservedCelsius:0.0} (really {run.Truth.Flash?.TemperatureCelsius:0.0}), {run.Figures.Applications} applications (really {run.Truth.Applications.Count}), {run.Truth.EndSeconds:0} s, heater {run.Truth.HeaterOnSeconds} to {run.Truth.HeaterOffSeconds}");
        run.Figures.WriteText(text);
        foreach (var finding in run.Result.Findings)
        {
            text.WriteLine($"  {finding.Weight} {finding.Code} at {finding.TimeSeconds:0.0} s: {finding.Text}");
        }

        output.WriteLine(text.ToString());
        return run;
    }
}
