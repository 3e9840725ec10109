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

    // The limits are those of the guard (docs/heating-control.md).
    [Theory]
    [InlineData("stuck-relay:600", TripCodes.OverTemperature)]
    [InlineData("never-acknowledges:0", null)]
    [InlineData("never-acknowledges:600", TripCodes.NotAcknowledged)]
    [InlineData("obeys-late:600:4", TripCodes.NotAcknowledged)]
    [InlineData("drops-commands:600:1", TripCodes.NotAcknowledged)]
    [InlineData("thermometer-out:0", TripCodes.NoRise)]
    [InlineData("thermometer-out:600", TripCodes.NoRise)]
    public void A_faulty_tester_ends_with_the_heater_off_and_the_trip_that_says_why(string fault, string? trip)
    {
        Assert.True(TesterFault.TryParse(fault, "fault", out var parsed, out _));
        var run = Play(DrivenSpecimens.Of("iso-2592-2017", 190, 5) with { Faults = [parsed] });

        if (trip is null)
        {
            Assert.False(run.Figures.TurnedOn);
            Assert.Equal(0, run.Rows.Max(row => row.HeaterFraction));
            return;
        }

        Assert.Equal(trip, run.Figures.Cuts[0].Code);
        Assert.NotEqual(Verdict.Valid, run.Result.Verdict);
        Assert.Contains(run.Result.Findings, finding => finding.Code == FindingCodes.HeaterCut);
    }

    private DrivenRun Play(DrivenOptions tester)
    {
        var run = DrivenRun.Play(DrivenRunOptions.For(tester));
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
