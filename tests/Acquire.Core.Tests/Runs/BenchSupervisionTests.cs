using System.Text.Json;
using Acquire.Core.Alarms;
using Acquire.Core.Methods;
using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Core.Tests.Traces;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Runs;

/// <summary>What is told of the bench: the alarms for what can still be mended, and what an application with a flame that is out does to the series.</summary>
public sealed class BenchSupervisionTests
{
    private static readonly BenchTrace Open = new() { PerSecond = 25, FireCelsius = null, Seed = 13 };

    // ISO 2719, procedure A: 90 to 120 r/min, stopped while the flame is applied; first application at 39 °C.
    private static readonly BenchTrace Closed = new()
    {
        Method = MethodCatalog.TryFind("iso-2719-2016-a", out var method) ? method : throw new InvalidOperationException(),
        PerSecond = 25,
        ExpectedCelsius = 62,
        StartCelsius = 25,
        RateAt = _ => 5.5,
        FlashCelsius = 61.7,
        FireCelsius = null,
        HottestCelsius = 82,
        TailSeconds = 60,
    };

    private static (double From, double? To)[] Standing(Judged judged, string code)
    {
        var cleared = judged.Outputs.OfType<AlarmCleared>().Where(alarm => alarm.Code == code).Select(alarm => alarm.AtSeconds).ToArray();
        return [.. judged.Outputs.OfType<AlarmRaised>().Where(alarm => alarm.Code == code).Select((alarm, i) => (alarm.AtSeconds, i < cleared.Length ? cleared[i] : (double?)null))];
    }

    [Fact]
    public void A_bench_that_is_as_it_should_be_changes_nothing()
    {
        foreach (var trace in new[] { Open, Closed })
        {
            var run = trace.Make();
            var told = new ToldBench { Stirrer = ToldBench.Stops(run, 105), Lit = _ => true, Air = _ => 0.05, Room = _ => 23 }.Judge(run);

            told.AssertTrue(run);
            Assert.Equal(JsonSerializer.Serialize(run.Judge().Outputs), JsonSerializer.Serialize(told.Outputs));
        }
    }

    [Fact]
    public void A_test_flame_that_is_out_is_alarmed_once_an_application_is_near_and_until_it_burns()
    {
        // Not lit until 20 s before the first application at 203 °C: the alarm comes when that is a minute away.
        var run = Open.Make();
        var first = run.Passes[0].Start;

        var judged = new ToldBench { Lit = t => t >= first - 20 }.Judge(run);

        var alarm = Assert.Single(Standing(judged, AlarmCodes.TestFlameOut));
        Assert.InRange(first - alarm.From, 40, 75);
        Assert.Equal(first - 20, alarm.To!.Value, tolerance: 0.1);
        Assert.True(judged.Result.Verdict == Verdict.Valid, judged.Story);
        judged.Lacks(FindingCodes.TestFlameOut);
    }

    [Fact]
    public void A_test_flame_that_goes_out_between_applications_is_alarmed_within_seconds_and_a_flicker_is_not()
    {
        var run = Open.Make();
        var from = run.Passes[5].Start + 4;

        var @out = new ToldBench { Lit = t => t < from || t > from + 6 }.Judge(run);
        var flickers = new ToldBench { Lit = t => t < from || t > from + 6 || t % 1 < 0.4 }.Judge(run);

        Assert.InRange(Assert.Single(Standing(@out, AlarmCodes.TestFlameOut)).From - from, 1, 1.5);
        Assert.Empty(Standing(flickers, AlarmCodes.TestFlameOut));
        @out.AssertTrue(run);
        flickers.AssertTrue(run);
    }

    [Fact]
    public void An_application_with_a_flame_that_was_out_leaves_its_place_open_and_the_next_at_once_fills_it()
    {
        // The sixth application finds the flame out; it is lit and applied again 0.4 °C later: nothing is missing then.
        var run = (Open with { LateBy = number => number == 6 ? -1.6 : 0 }).Make();

        var judged = new ToldBench { Lit = ToldBench.OutAt(run, 5, 3, 1) }.Judge(run);

        Assert.Equal(FindingWeight.Note, judged.Only(FindingCodes.TestFlameOut).Weight);
        Assert.True(judged.Result.Verdict == Verdict.Valid, judged.Story);
        Assert.Equal([6], judged.Result.Applications.Where(made => made.Unlit).Select(made => made.Number));
        judged.Lacks(FindingCodes.ApplicationEarly);
        judged.AssertFlash(run);

        // Without what is told of the flame the second application comes too soon.
        Assert.Contains(FindingCodes.ApplicationEarly, run.Judge().Codes);
    }

    [Fact]
    public void A_series_does_not_open_with_a_flame_that_is_out()
    {
        // Out at 203 °C: the series opens at 205 °C, and a flash there is one at the first application.
        var run = (Open with { FlashCelsius = 204.5 }).Make();

        run.Judge().Lacks(FindingCodes.FlashAtFirstApplication);
        var judged = new ToldBench { Lit = ToldBench.OutAt(run, 0, 3, 3) }.Judge(run);

        Assert.Equal(FindingWeight.Invalid, judged.Only(FindingCodes.FlashAtFirstApplication).Weight);
    }

    [Fact]
    public void After_the_flash_a_flame_that_is_out_does_not_call_the_flash_in_question()
    {
        // What the detector sees of the pass after the flash is taken away with the flame.
        var run = Open.Make();
        var after = run.Passes[run.Passes.ToList().IndexOf(run.Flash!) + 1];
        var lit = new ToldBench { Lit = t => t < after.Start - 3 || t > after.Start + 3 };
        var dark = run.Rows.Select(row => row.AtSeconds > after.Start - 2 && row.AtSeconds < after.Start + 3 ? row with { Detector = run.Rows[(int)(row.AtSeconds * 25) % 40].Detector } : row).ToArray();

        Assert.Contains(FindingCodes.FlashNotRepeated, run.Judge(dark).Codes);
        run.Judge(lit.On(dark)).Lacks(FindingCodes.FlashNotRepeated);
    }

    [Fact]
    public void A_flame_that_is_told_after_the_pass_only_still_counts_as_lit()
    {
        // Nothing is known of the flame before its first reading: it is not taken for out.
        var run = Open.Make();
        var from = run.Passes[6].Start + 8;

        var judged = run.Judge(new ToldBench { Lit = _ => true }.On(run.Rows).Select(row => row.AtSeconds < from ? row with { Present = row.Present & ~RowChannels.Lit } : row));

        judged.AssertTrue(run);
        judged.Lacks(FindingCodes.TestFlameOut);
    }

    [Theory]
    [InlineData(true, 0.0, false)]
    [InlineData(false, 12.0, true)]
    public void Without_a_flame_signal_a_pass_that_nobody_saw_does_not_count_and_one_that_was_seen_does(bool unlit, double height, bool seen)
    {
        var run = (Open with { HasFlame = false, PassHeight = height, HaloHeight = 0 }).Make();
        var from = run.Passes[5].Start - 8;

        var judged = new ToldBench { Lit = t => t < from || t > from + 30 }.Judge(run);

        Assert.Equal(unlit, judged.Result.Applications.Any(made => made.Unlit));
        Assert.Equal(unlit, judged.Codes.Contains(FindingCodes.TestFlameOut));
        Assert.Equal(!seen, judged.Codes.Contains(FindingCodes.ApplicationUnconfirmed));
    }

    [Fact]
    public void A_stirrer_left_on_is_alarmed_until_it_is_seen_to_stand()
    {
        var run = Closed.Make();

        var judged = new ToldBench { Stirrer = ToldBench.Stops(run, 105, 3) }.Judge(run);

        var alarm = Assert.Single(Standing(judged, AlarmCodes.StirrerOnAtApplication));
        Assert.InRange(alarm.From - run.Passes[3].Start, 1, 4);
        Assert.Equal(run.Passes[4].Start - 0.8, alarm.To!.Value, tolerance: 0.1);
        Assert.Equal(1, judged.Only(FindingCodes.StirrerOnAtApplication).Value);
    }

    [Fact]
    public void A_stirrer_that_coasts_into_the_pass_is_not_on()
    {
        var run = Closed.Make();

        var judged = new ToldBench { Stirrer = t => run.Passes.Any(pass => t >= pass.Start + 0.25 && t < pass.Start + 0.8) ? 0 : 105 }.Judge(run);

        judged.Lacks(FindingCodes.StirrerOnAtApplication);
    }

    [Fact]
    public void A_stirrer_that_stands_is_alarmed_and_the_alarm_ends_when_it_turns()
    {
        var run = Closed.Make();
        var from = run.Rows.First(row => row.TemperatureCelsius >= 34).AtSeconds;

        var judged = new ToldBench { Stirrer = t => t >= from && t < from + 20 ? 0 : ToldBench.Stops(run, 105)(t) }.Judge(run);

        var alarm = Assert.Single(Standing(judged, AlarmCodes.StirrerOutsideBand));
        Assert.InRange(alarm.From - from, 10, 10.2);
        Assert.Equal(from + 20, alarm.To!.Value, tolerance: 0.1);
        Assert.Equal(20, judged.Only(FindingCodes.StirrerOutsideBand).Value!.Value, tolerance: 0.2);
    }

    [Fact]
    public void A_tester_that_tells_only_changes_is_judged_alike()
    {
        var run = Closed.Make();
        var from = run.Rows.First(row => row.TemperatureCelsius >= 34).AtSeconds;
        var told = new ToldBench { Stirring = t => !(t >= from && t < from + 20) && ToldBench.Stops(run, 105)(t) > 0, Lit = ToldBench.OutAt(run, 5, 3, 3) };
        (bool? Stirring, bool? Lit) said = default;
        var changes = told.On(run.Rows).Select(row =>
        {
            var silent = (said.Stirring == row.Stirring ? RowChannels.Stirring : 0) | (said.Lit == row.Lit ? RowChannels.Lit : 0);
            said = (row.Stirring, row.Lit);
            return row with { Present = row.Present & ~silent };
        });

        var (all, few) = (told.Judge(run), run.Judge(changes));

        Assert.Equal(all.Codes, few.Codes);
        Assert.Contains(FindingCodes.StirrerOutsideBand, few.Codes);
        Assert.Equal(all.Outputs.Select(output => output.GetType()), few.Outputs.Select(output => output.GetType()));
    }

    [Fact]
    public void A_draught_is_alarmed_after_its_time_and_the_alarm_does_not_flutter()
    {
        var run = Open.Make();
        var from = run.Passes[5].Start + 5;

        // Gusts: half of the time 0.1 m/s, half 1.1 m/s, every second.
        var judged = new ToldBench { Air = t => t < from || t > from + 30 ? 0.05 : t % 1 < 0.5 ? 0.1 : 1.1 }.Judge(run);

        var alarm = Assert.Single(Standing(judged, AlarmCodes.Draught));
        Assert.InRange(alarm.From - from, 5, 8);
        Assert.InRange(alarm.To!.Value - from, 30, 36);
        Assert.InRange(judged.Only(FindingCodes.Draught).Value!.Value, 0.45, 0.9);
    }

    [Fact]
    public void Nothing_on_the_bench_matters_once_the_cup_cools()
    {
        var run = Closed.Make();
        var after = run.Flash!.Start + 6;

        var judged = new ToldBench { Stirrer = t => t > after ? 0 : ToldBench.Stops(run, 105)(t), Lit = t => t < after, Air = t => t > after ? 2 : 0.05, Room = t => t > after ? 40 : 23 }.Judge(run);

        judged.AssertTrue(run);
        Assert.Empty(judged.Outputs.OfType<AlarmRaised>());
    }

    [Fact]
    public void A_figure_that_a_method_does_not_state_is_not_judged()
    {
        var silent = Closed with { Method = Closed.Method with { Surroundings = null, Stirring = Closed.Method.Stirring! with { OutsideSeconds = null, StoppedDuringApplication = false } } };
        var run = silent.Make();

        var judged = new ToldBench { Stirrer = t => t < 200 ? 0 : 300, Air = _ => 3, Room = t => 10 + (t / 20) }.Judge(run);

        judged.AssertTrue(run);
        Assert.Empty(judged.Result.Findings);
    }

    [Fact]
    public void Readings_of_the_bench_that_do_not_go_forward_are_kept_out_and_counted()
    {
        var run = Open.Make();
        var told = new ToldBench { Lit = _ => true, Air = _ => 0.05 }.On(run.Rows);

        var judged = run.Judge(told.SelectMany((row, i) => i == 500 ? new[] { row, row with { Lit = false, AirMetresPerSecond = 9 } } : [row]));

        // Thermometer, detector, flame, and the two.
        Assert.Equal(5, judged.Only(FindingCodes.TimeNotForward).Value);
        judged.Lacks(FindingCodes.Draught);
    }

    [Fact]
    public void Every_part_of_what_was_told_survives_a_snapshot_at_any_point()
    {
        var run = Closed.Make();
        var (at, end) = (run.Passes[4].Start, run.Flash!.Start);
        var rows = new ToldBench
        {
            Stirrer = t => t > at + 3 && t < at + 4.5 ? 0 : t < 200 && t > 150 ? 40 : ToldBench.Stops(run, 105, 2, 5)(t),
            Lit = ToldBench.OutAt(run, 7, 4, 4),
            Air = t => t > at && t < at + 30 ? 1.2 : 0.05,
            Room = t => 20 + (9 * t / end),
        }.On(run.Rows).ToArray();
        var whole = JsonSerializer.Serialize(run.Judge(rows).Outputs);

        Gen.Int[0, rows.Length - 1].Array[3].Sample(cuts =>
        {
            var (state, outputs) = (RunSupervisor.Begin(run.Trace.Plan), new List<RunOutput>());
            for (var i = 0; i < rows.Length; i++)
            {
                state = cuts.Contains(i) ? RunSnapshot.Load(RunSnapshot.Save(state)) : state;
                RunSupervisor.Step(state, run.Trace.Plan, rows[i], outputs);
            }

            RunSupervisor.Step(state, run.Trace.Plan, RunInput.Stop(state.AtSeconds), outputs);
            Assert.Equal(whole, JsonSerializer.Serialize(outputs));
        }, iter: 12, threads: 1);
        foreach (var code in new[] { FindingCodes.StirrerOnAtApplication, FindingCodes.StirrerOutsideBand, FindingCodes.Draught, FindingCodes.AmbientChanged, FindingCodes.TestFlameOut })
        {
            Assert.Contains(code, whole, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void A_person_who_applies_a_flame_that_is_out_is_asked_again_at_once()
    {
        var bench = new GuidedBench { Row = row => row with { Present = RowChannels.Temperature | RowChannels.Lit, Lit = row.TemperatureCelsius is < 210 or > 210.8 } };

        var judged = bench.Work();

        var unlit = Assert.Single(judged.Result.Applications, made => made.Unlit);
        Assert.Equal(FindingWeight.Note, judged.Only(FindingCodes.TestFlameOut).Weight);
        Assert.InRange(unlit.TemperatureCelsius, 210.3, 210.9);
        var alarm = Assert.Single(Standing(judged, AlarmCodes.TestFlameOut));
        var asked = judged.Outputs.OfType<ApplicationPrompted>().Where(prompt => prompt.DueCelsius == judged.Outputs.OfType<ApplicationPrompted>().Single(first => first.Number == unlit.Number).DueCelsius).ToArray();
        Assert.Equal([unlit.Number, unlit.Number + 1], asked.Select(prompt => prompt.Number));
        Assert.InRange(asked[1].AtSeconds - unlit.TimeSeconds, 0, 0.3);
        Assert.InRange(asked[1].AtSeconds, alarm.From, alarm.To!.Value);
        judged.Lacks(FindingCodes.ApplicationMissed);
        Assert.NotNull(judged.Result.Flash);
    }

    [Fact]
    public void What_a_person_saw_stands_whatever_the_sensor_of_the_flame_says()
    {
        var judged = new GuidedBench { Row = row => row with { Present = RowChannels.Temperature | RowChannels.Lit, Lit = row.TemperatureCelsius is < 222 or > 230 } }.Work();

        Assert.NotNull(judged.Result.Flash);
        Assert.Contains(judged.Result.Findings, finding => finding is { Code: FindingCodes.TestFlameOut, Weight: FindingWeight.Doubtful });
    }

    [Fact]
    public void A_person_who_is_asked_while_the_stirrer_turns_is_told_to_stop_it()
    {
        var plan = Closed.Plan with { Mode = RunMode.Guided };
        var (state, outputs) = (RunSupervisor.Begin(plan), new List<RunOutput>());
        foreach (var row in new ToldBench { Stirring = t => t < 160 || t > 170 }.On(Closed.Make().Rows).TakeWhile(row => row.AtSeconds < 175))
        {
            RunSupervisor.Step(state, plan, row with { Present = row.Present & ~(RowChannels.Detector | RowChannels.Flame) }, outputs);
        }

        var raised = outputs.OfType<AlarmRaised>().First(alarm => alarm.Code == AlarmCodes.StirrerOnAtApplication);
        Assert.InRange(raised.AtSeconds, outputs.OfType<ApplicationPrompted>().First().AtSeconds, 160);
        Assert.Contains(outputs, output => output is AlarmCleared { Code: AlarmCodes.StirrerOnAtApplication, AtSeconds: >= 160 and < 160.1 });
    }

    [Theory]
    [InlineData(180)]
    [InlineData(122)]
    [InlineData(88)]
    public void A_stirrer_at_a_wrong_speed_is_told_by_its_speed_though_it_stands_at_each_application(double speed)
    {
        var run = Closed.Make();

        var text = new ToldBench { Stirrer = ToldBench.Stops(run, speed) }.Judge(run).Only(FindingCodes.StirrerOutsideBand).Text;

        Assert.StartsWith(FormattableString.Invariant($"The stirrer turned at {speed} r/min for"), text, StringComparison.Ordinal);
    }

    [Fact]
    public void One_that_stands_all_along_is_told_to_have_stood()
    {
        var run = Closed.Make();

        Assert.StartsWith("The stirrer stood for", new ToldBench { Stirrer = _ => 0 }.Judge(run).Only(FindingCodes.StirrerOutsideBand).Text, StringComparison.Ordinal);
    }

    // The last that was told is wrong each time: carried on, it would spoil the run.
    [Fact]
    public void A_sensor_that_came_with_every_row_and_falls_silent_is_unknown_and_not_its_last_value()
    {
        var run = Closed.Make();
        
        // Known to be silent 5 s later, before the next application.
        var silent = run.Passes[4].Start + run.Passes[4].Seconds + 2.5;
        var told = new ToldBench { Stirrer = t => t > silent - 1 ? 0 : ToldBench.Stops(run, 105)(t), Lit = t => t <= silent - 1.5, Air = t => t > silent - 1 ? 2 : 0.1, Room = _ => 23 }.On(run.Rows);

        var judged = run.Judge(told.Select(row => row.AtSeconds > silent ? row with { Present = row.Present & ~ReadingRow.BenchChannels } : row));

        judged.AssertTrue(run);
        Assert.Equal(4, judged.Codes.Count(code => code == FindingCodes.BenchSilent));
        Assert.All(judged.Result.Findings, finding => Assert.Equal((FindingCodes.BenchSilent, FindingWeight.Note), (finding.Code, finding.Weight)));
    }

    [Fact]
    public void A_tester_that_tells_only_changes_may_be_silent_for_as_long_as_nothing_changes()
    {
        var run = Closed.Make();
        bool? before = null;
        var told = new ToldBench { Lit = t => t < run.Passes[4].Start - 3 || t > run.Passes[4].Start + 4 }.On(run.Rows).Select(row =>
        {
            var changed = row.Lit != before;
            before = row.Lit;
            return changed ? row : row with { Present = row.Present & ~RowChannels.Lit };
        });

        var judged = run.Judge(told);

        judged.Only(FindingCodes.TestFlameOut);
        judged.Lacks(FindingCodes.BenchSilent);
    }
}
