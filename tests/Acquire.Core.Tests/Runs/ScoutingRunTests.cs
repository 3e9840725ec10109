using Acquire.Core.Methods;
using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Core.Tests.Traces;
using Xunit;

namespace Acquire.Core.Tests.Runs;

public sealed class ScoutingRunTests
{
    // ISO 2592, as ASTM D92, 11.1.7 and 11.1.8 (values from memory): start at 50 °C or below, 5 to 6 °C/min, every 2 °C from at least 5 °C above the start.
    private static readonly BenchTrace Usual = new()
    {
        ExpectedCelsius = 96,
        StartCelsius = 45,
        RateAt = _ => 5.5,
        FirstApplicationCelsius = 50.1,
        FlashCelsius = 95.5,
        FireCelsius = null,
        ApplicationsAfterFlash = 0,
        HottestCelsius = 110,
        PerSecond = 20,
        Seed = 5,
    };

    private static RunPlan Plan(BenchTrace trace) => trace.Plan with { ExpectedFlashCelsius = null, Scouting = true };

    private static Judged Scout(BenchTrace trace, IEnumerable<ReadingRow>? rows = null) => trace.Make().Judge(rows, Plan(trace));

    [Fact]
    public void A_run_that_keeps_the_rules_says_how_the_next_one_begins_and_reports_nothing()
    {
        var judged = Scout(Usual);

        Assert.True(judged.Result.Verdict == Verdict.Valid, judged.Story);
        Assert.Null(judged.Result.Flash!.ReportedCelsius);
        var next = judged.Result.Next!;
        Assert.Equal(("iso-2592-2017", Math.Round(judged.Result.Flash.ObservedCelsius), null), (next.MethodId, next.ExpectedFlashCelsius, next.Variant));
        Assert.InRange(next.ExpectedFlashCelsius, 95, 98);

        // ISO 2592: start 56 °C below, first application (23 ± 5) °C below (value from memory), every 2 °C, 5 to 6 °C/min.
        Assert.Equal((next.ExpectedFlashCelsius - 56, next.ExpectedFlashCelsius - 23, 2.0, new RateBand(5, 6)), (next.StartAtMostCelsius, next.FirstApplicationCelsius, next.IntervalCelsius, next.HeatingCelsiusPerMinute));
        Assert.Equal(FindingWeight.Note, judged.Only(FindingCodes.ScoutingRun).Weight);
        Assert.Contains("fresh test portion", judged.Only(FindingCodes.ScoutingRun).Text, StringComparison.Ordinal);
        Assert.StartsWith("No flash point can be reported: a scouting run only finds what to expect. Next: a fresh test portion", CannotReport.Why(judged.Result, Plan(Usual), PointKind.Flash), StringComparison.Ordinal);
    }

    [Fact]
    public void The_run_ends_with_the_flash_although_the_method_determines_a_fire_point()
    {
        var judged = Scout(Usual with { FireCelsius = 95.5 });

        Assert.DoesNotContain(judged.Outputs.OfType<PhaseChanged>(), change => change.To == RunPhase.HeatingToFirePoint);
        Assert.Null(judged.Result.Fire);
        judged.Lacks(FindingCodes.NoFirePoint);
        Assert.Contains(judged.Outputs.OfType<AlarmRaised>(), alarm => alarm.Code == Alarms.AlarmCodes.SpecimenBurning);
        Assert.Equal("No fire point can be reported: a scouting run ends with the flash.", CannotReport.Why(judged.Result, Plan(Usual), PointKind.Fire));
    }

    [Theory]
    [InlineData(50.3, false)]
    [InlineData(51.2, true)]
    public void A_start_above_the_warmest_that_the_method_allows_is_found(double start, bool found)
    {
        var judged = Scout(Usual with { StartCelsius = start, FirstApplicationCelsius = start + 5.1 });

        Assert.True(judged.Codes.Contains(FindingCodes.StartTooWarm) == found, judged.Story);
    }

    [Theory]
    [InlineData(4.6, false)]
    [InlineData(3.9, true)]
    public void A_first_application_too_close_to_the_start_is_found(double above, bool found)
    {
        var judged = Scout(Usual with { FirstApplicationCelsius = Usual.StartCelsius + above });

        Assert.True(judged.Codes.Contains(FindingCodes.FirstApplicationEarly) == found, judged.Story);
    }

    [Fact]
    public void A_first_application_far_above_the_start_breaks_no_rule()
    {
        var judged = Scout(Usual with { FirstApplicationCelsius = 70 });

        judged.Lacks(FindingCodes.FirstApplicationLate);
        judged.Lacks(FindingCodes.ApplicationMissed);
        Assert.Equal(Verdict.Valid, judged.Result.Verdict);
    }

    [Fact]
    public void An_application_left_out_is_found_and_directly_before_the_flash_leaves_nothing_to_expect()
    {
        Scout(Usual with { LeftOut = [4] }).Only(FindingCodes.ApplicationMissed);
        var spoiled = Scout(Usual with { LeftOut = [22] });

        Assert.True(spoiled.Result.Verdict == Verdict.Invalid, spoiled.Story);
        Assert.Null(spoiled.Result.Next);
    }

    [Theory]
    [InlineData(5.95, Verdict.Valid)]
    [InlineData(8, Verdict.Invalid)]
    public void The_rate_of_the_scouting_run_holds_once_it_has_settled(double rate, Verdict verdict)
    {
        var judged = Scout(Usual with { RateAt = _ => rate });

        Assert.True(judged.Result.Verdict == verdict, judged.Story);
        Assert.Equal(verdict == Verdict.Valid, judged.Result.Next is not null);
    }

    [Fact]
    public void A_slow_rate_while_the_heat_comes_through_the_cup_breaks_no_rule()
    {
        var judged = Scout(Usual with { RateAt = celsius => celsius < 52 ? 2 : 5.5 });

        judged.Lacks(FindingCodes.RateTooSlow);
    }

    [Fact]
    public void A_pass_before_heating_is_a_check_and_a_flash_in_it_forbids_heating()
    {
        var volatileOne = Usual with { FirstApplicationCelsius = 45.5, FlashCelsius = 44 };

        var judged = Scout(volatileOne);

        Assert.Equal(FindingWeight.Invalid, judged.Only(FindingCodes.FlashBeforeHeating).Weight);
        Assert.Contains("Do not heat it", judged.Only(FindingCodes.FlashBeforeHeating).Text, StringComparison.Ordinal);
        judged.Lacks(FindingCodes.FlashAtFirstApplication);
        Assert.Null(judged.Result.Next);
        Assert.Contains("before it was heated", CannotReport.Why(judged.Result, Plan(volatileOne), PointKind.Flash), StringComparison.Ordinal);
    }

    [Fact]
    public void A_check_without_a_flash_does_not_open_the_series()
    {
        // The check at 45.5 °C, then nothing before 51 °C.
        var judged = Scout(Usual with { FirstApplicationCelsius = 45.5, LateBy = number => number == 1 ? 3.6 : 0 });

        judged.Lacks(FindingCodes.FirstApplicationEarly);
        judged.Lacks(FindingCodes.ApplicationMissed);
        Assert.True(judged.Result.Verdict == Verdict.Valid, judged.Story);
    }

    [Fact]
    public void A_flash_at_the_first_application_says_nothing_about_what_to_expect()
    {
        var judged = Scout(Usual with { FirstApplicationCelsius = 90 });
        var first = Scout(Usual with { FirstApplicationCelsius = 96 });

        Assert.NotNull(judged.Result.Next);
        first.Only(FindingCodes.FlashAtFirstApplication);
        Assert.Null(first.Result.Next);
    }

    [Fact]
    public void A_flash_outside_the_scope_points_to_another_method()
    {
        // ISO 2592, clause 1: above 79 °C.
        var judged = Scout(Usual with { FlashCelsius = 60 });

        judged.Only(FindingCodes.OutsideScope);
        Assert.Null(judged.Result.Next);
        Assert.Contains("choose a method that covers it", judged.Only(FindingCodes.ScoutingRun).Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_warm_thermometer_on_its_way_into_a_cold_specimen_is_no_warm_start()
    {
        var run = Usual.Make();
        var rest = Enumerable.Range(0, 800).Select(number => run.Rows[number % 40] with { AtSeconds = number * 0.05, TemperatureCelsius = 45 + (25 * Math.Exp(-number * 0.05 / 4)), FlameOver = false });
        var rows = rest.Concat(run.Rows.Select(row => row with { AtSeconds = row.AtSeconds + 40 }));

        var judged = run.Judge(rows, Plan(Usual));

        judged.Lacks(FindingCodes.StartTooWarm);
        judged.Lacks(FindingCodes.FirstApplicationEarly);
    }

    [Fact]
    public void A_run_taken_up_from_a_snapshot_after_every_hundredth_row_comes_to_the_same_end()
    {
        var (run, plan) = (Usual.Make(), Plan(Usual));
        var outputs = new List<RunOutput>();
        var state = RunSupervisor.Begin(plan);
        foreach (var (number, row) in run.Rows.Index())
        {
            RunSupervisor.Step(state, plan, row, outputs);
            state = number % 100 == 0 ? RunSnapshot.Load(RunSnapshot.Save(state)) : state;
        }

        RunSupervisor.Step(state, plan, RunInput.Stop(state.AtSeconds), outputs);
        var straight = Scout(Usual);

        Assert.Equal(straight.Outputs.Select(fact => fact.ToString()), outputs.Select(fact => fact.ToString()));
    }

    [Fact]
    public void A_person_is_asked_for_the_first_application_above_the_start_and_for_none_after_the_flash()
    {
        var cold = new GuidedBench
        {
            FlashCelsius = 95.5,
            Plan = Plan(Usual) with { Mode = RunMode.Guided, HasFlameSignal = false },
            Heated = Usual with { FlashCelsius = null, HasFlame = false, PerSecond = 10 },
        };

        var judged = cold.Work();

        Assert.True(judged.Result.Verdict == Verdict.Valid, judged.Story);
        var prompts = judged.Outputs.OfType<ApplicationPrompted>().ToArray();
        Assert.InRange(prompts[0].DueCelsius, 49.8, 50.1);
        Assert.All(prompts, prompt => Assert.True(prompt.AtSeconds < judged.Result.Flash!.TimeSeconds));
        Assert.NotNull(judged.Result.Next);
    }

    // ASTM D93, 11.1.6: material and tester at (15 ± 5) °C; a first reading is allowed 0.5 °C.
    [Theory]
    [InlineData(10.2, false)]
    [InlineData(8.9, true)]
    public void A_start_below_the_range_of_the_method_is_noted(double start, bool found)
    {
        var method = MethodCatalog.TryFind("astm-d93-20-a", out var d93) ? d93 : throw new InvalidOperationException();
        var judged = Scout(Usual with { Method = method, StartCelsius = start, FirstApplicationCelsius = start + 5.2, FlashCelsius = 55.5, HottestCelsius = 70 });

        Assert.True(judged.Codes.Contains(FindingCodes.StartTooCold) == found, judged.Story);
    }
}
