using Acquire.Core.Control;
using Acquire.Core.Methods;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator.Driven;

/// <summary>Scouting runs in which the program drives the tester, in simulated time.</summary>
public sealed class DrivenScoutingTests(ITestOutputHelper output)
{
    /// <summary>Every method that says what to do about an unknown flash point, and a specimen.</summary>
    public static TheoryData<string, double> Methods => new()
    {
        { "iso-2592-2017", 97 },
        { "astm-d92-18", 92 },
        { "bench-open-cup", 88 },
        { "iso-2719-2016-a", 72 },
        { "iso-2719-2016-b", 58 },
        { "iso-2719-2016-c", 71 },
        { "astm-d93-20-a", 131 },
        { "astm-d93-20-b", 58 },
        { "astm-d93-20-c", 66 },
    };

    [Fact]
    public void Every_method_with_rules_for_an_unknown_flash_point_is_tried() =>
        Assert.Equal(MethodCatalog.All.Where(method => method.UnknownFlash is not null).Select(method => method.Id).Order(), Methods.Select(row => row.Data.Item1).Order());

    [Theory]
    [MemberData(nameof(Methods))]
    public void A_driven_scouting_run_of_every_method_is_valid_and_says_what_to_expect(string method, double flash)
    {
        var run = Play(Cold(method, flash, 7));

        Assert.Equal(Verdict.Valid, run.Result.Verdict);
        Assert.Equal(run.Truth.Flash!.TemperatureCelsius, run.Result.Flash!.ObservedCelsius, 0.5);
        Assert.InRange(run.Result.Next!.ExpectedFlashCelsius - flash, -2, 3);
        Assert.Equal([TripCodes.ResultComplete], run.Figures.Cuts.Select(cut => cut.Code));
        Assert.Equal([FindingCodes.ScoutingRun], run.Result.Findings.Select(finding => finding.Code).Distinct());
    }

    [Theory]
    [InlineData(12, 1)]
    [InlineData(17.4, 2)]
    [InlineData(19.9, 3)]
    public void The_first_application_is_counted_from_the_start_and_the_interval_from_what_is_reached(double start, int seed)
    {
        var cold = Cold("astm-d93-20-a", 121, (ulong)seed);
        var run = Play(cold with { Run = cold.Run with { StartCelsius = start } });
        var applied = run.Facts.OfType<ApplicationStarted>().Select(made => made.TemperatureCelsius).ToArray();

        // ASTM D93, 11.1.6 and 11.1.8: first at least 5 °C above the start; every 1 °C up to 110 °C, every 2 °C above.
        Assert.InRange(applied[0] - start, 4.7, 5.6);
        Assert.All(applied.Zip(applied.Skip(1)), pair => Assert.Equal(pair.First > 110 ? 2 : 1, pair.Second - pair.First, 0.4));
        Assert.Contains(applied, celsius => celsius > 110);
    }

    [Fact]
    public void Where_nothing_flashes_the_heating_ends_at_what_the_tester_may_reach_or_at_the_end_of_the_scope()
    {
        var cold = Cold("iso-2719-2016-c", 189, 4);
        var usual = DrivenRunOptions.For(cold with { Run = cold.Run with { RowsPerSecond = 10 } });

        var low = DrivenRun.Play(usual with { Settings = usual.Settings with { HighestCelsius = 90 } });
        var wide = Driver.Begin(low.Plan, usual.Settings with { HighestCelsius = 500 }, 1, 0);

        Assert.Equal([TripCodes.OverTemperature], low.Figures.Cuts.Select(cut => cut.Code));
        Assert.InRange(low.Rows.Max(row => row.TemperatureCelsius), 90, 95);
        Assert.Equal(Verdict.Invalid, low.Result.Verdict);
        Assert.Null(low.Result.Next);

        // The scope ends at 190 °C (ISO 2719, clause 1), the usual allowance is 60 °C.
        Assert.Equal(250, wide.HighestCelsius);
    }

    [Fact]
    public void A_flash_before_the_specimen_was_heated_ends_the_heating_for_good()
    {
        var plan = new RunPlan { Method = Cold("iso-2592-2017", 97, 1).Run.Method, ExpectedFlashCelsius = null, Scouting = true, HasFlameSignal = true, Mode = RunMode.Driven };
        var driver = Driver.Begin(plan, new() { HighestCelsius = 300 }, 1, 0);

        driver.Note(new FlashDetected(1, 22, 1));

        Assert.Equal([TripCodes.ResultComplete], driver.Trips.Select(trip => trip.Code));
    }

    private static DrivenOptions Cold(string method, double flash, ulong seed) =>
        DrivenSpecimens.Of(method, flash, seed) is var usual ? usual with { Run = usual.Run with { Scouting = true, RowsPerSecond = 25 } } : throw new InvalidOperationException();

    private DrivenRun Play(DrivenOptions tester)
    {
        var run = DrivenRun.Play(DrivenRunOptions.For(tester));
        using var text = new StringWriter();
        text.WriteLine($"{tester.Run.Method.Id}: {run.Result.Verdict}, flash {run.Result.Flash?.ObservedCelsius:0.0} (really {run.Truth.Flash?.TemperatureCelsius:0.0}), {run.Truth.EndSeconds:0} s");
        run.Figures.WriteText(text);
        foreach (var finding in run.Result.Findings)
        {
            text.WriteLine($"  {finding.Weight} {finding.Code} at {finding.TimeSeconds:0.0} s: {finding.Text}");
        }

        output.WriteLine(text.ToString());
        return run;
    }
}
