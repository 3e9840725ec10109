using Acquire.Core.Alarms;
using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Core.Tests.Traces;
using Xunit;

namespace Acquire.Core.Tests.Runs;

public sealed class RecordRuleTests
{
    private static readonly BenchTrace Usual = new() { PerSecond = 25, FireCelsius = null, Seed = 13 };

    private static Judged WithHole(double startCelsius, double seconds)
    {
        var run = Usual.Make();
        var from = run.Passes.LastOrDefault(pass => pass.Celsius <= startCelsius)?.Start + 5 ?? run.Rows.First(row => row.TemperatureCelsius >= startCelsius).AtSeconds;
        return run.Judge(run.Rows.Where(row => row.AtSeconds < from || row.AtSeconds > from + seconds));
    }

    [Theory]
    [InlineData(213, 2.8, null, Verdict.Valid)]
    [InlineData(213, 4, FindingWeight.Doubtful, Verdict.Doubtful)]
    [InlineData(213, 40, FindingWeight.Invalid, Verdict.Invalid)]
    [InlineData(165, 4, FindingWeight.Note, Verdict.Valid)]
    public void A_hole_in_the_record_weighs_by_its_place_and_length(double celsius, double seconds, FindingWeight? weight, Verdict verdict)
    {
        // More than 3 s is a gap by our own rule; more than an interval of 2 °C without a reading can hide a flash (22 s at 5.5 °C/min).
        var judged = WithHole(celsius, seconds);

        Assert.Equal(weight, judged.Result.Findings.SingleOrDefault(finding => finding.Code == FindingCodes.DataGap)?.Weight);
        Assert.True(judged.Result.Verdict == verdict, judged.Story);
    }

    [Fact]
    public void No_flash_is_invalid_and_tells_how_far_the_specimen_was_heated()
    {
        var judged = (Usual with { FlashCelsius = null, HottestCelsius = 236 }).Make().Judge();

        Assert.Equal(236, judged.Only(FindingCodes.NoFlash).Value!.Value, tolerance: 3);
        Assert.Equal(Verdict.Invalid, judged.Result.Verdict);
        Assert.Null(judged.Result.Flash);
        Assert.Null(judged.Result.Fire);
    }

    [Fact]
    public void No_fire_is_noted_and_the_flash_stands()
    {
        var judged = Usual.Make().Judge();

        Assert.Equal(FindingWeight.Note, judged.Only(FindingCodes.NoFirePoint).Weight);
        Assert.True(judged.Result.Verdict == Verdict.Valid, judged.Story);
        Assert.NotNull(judged.Result.Flash!.ReportedCelsius);
    }

    [Theory]
    [InlineData(4.0, false)]
    [InlineData(5.6, true)]
    public void A_record_that_ends_while_the_specimen_burns_has_a_fire_point_only_after_five_seconds(double seconds, bool fire)
    {
        // ISO 2592 and ASTM D92: burns for at least 5 s.
        var run = new BenchTrace { PerSecond = 25, FireSeconds = 8, Seed = 15 }.Make();

        var judged = run.Judge(run.Rows.TakeWhile(row => row.AtSeconds < run.Fire!.Onset + seconds));

        Assert.Equal(fire, judged.Result.Fire is not null);
        Assert.True(judged.Codes.Contains(FindingCodes.EndedWhileBurning) != fire, judged.Story);
        Assert.True(judged.Result.Verdict == Verdict.Valid, judged.Story);
        judged.AssertFlash(run);
    }

    [Fact]
    public void A_burning_specimen_raises_its_alarm_and_clears_it_when_it_is_out()
    {
        var run = new BenchTrace { PerSecond = 25, ShortBurns = [3], Seed = 15 }.Make();

        var outputs = run.Judge().Outputs;

        var raised = outputs.OfType<AlarmRaised>().Where(alarm => alarm.Code == AlarmCodes.SpecimenBurning).ToArray();
        Assert.Equal(2, raised.Length);
        Assert.InRange(raised[0].AtSeconds - run.Passes.Single(pass => pass.Burned == 3).Onset!.Value, 1.5, 2.6);
        Assert.Equal(2, outputs.OfType<AlarmCleared>().Count(alarm => alarm.Code == AlarmCodes.SpecimenBurning));
    }

    [Theory]
    // Strictly correct from 98.0 to 104.7 kPa: note on the correction in ISO 13736 and ISO 2592.
    [InlineData(97.9, FindingCodes.PressureOutsideRange)]
    [InlineData(98.0, null)]
    [InlineData(104.7, null)]
    [InlineData(104.8, FindingCodes.PressureOutsideRange)]
    [InlineData(null, FindingCodes.PressureAssumed)]
    public void A_missing_or_unusual_pressure_is_noted(double? kilopascals, string? code)
    {
        var judged = (Usual with { Kilopascals = kilopascals }).Make().Judge();

        foreach (var about in new[] { FindingCodes.PressureOutsideRange, FindingCodes.PressureAssumed })
        {
            Assert.Equal(about == code, judged.Codes.Contains(about));
        }

        Assert.Equal(kilopascals ?? 101.3, judged.Result.StationKilopascals);
        Assert.True(judged.Result.Verdict == Verdict.Valid, judged.Story);
    }

    [Theory]
    [InlineData(76.5, true)]
    [InlineData(81.5, false)]
    public void A_flash_outside_the_scope_is_doubtful(double flash, bool outside)
    {
        // ISO 2592, clause 1: flash points above 79 °C. Applications at 59, 61, ... for an expected 82 °C.
        var judged = (Usual with { ExpectedCelsius = 82, StartCelsius = 14, FlashCelsius = flash, HottestCelsius = 100 }).Make().Judge();

        Assert.True(judged.Codes.Contains(FindingCodes.OutsideScope) == outside, judged.Story);
        Assert.True(judged.Result.Verdict == (outside ? Verdict.Doubtful : Verdict.Valid), judged.Story);
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void A_dead_detector_makes_the_run_invalid(bool sendsAConstant)
    {
        var run = Usual.Make();

        var judged = run.Judge(run.Rows.Select(row => sendsAConstant ? row with { Detector = 512 } : row with { Present = row.Present & ~RowChannels.Detector }));

        Assert.Equal(FindingWeight.Invalid, judged.Only(FindingCodes.DetectorDead).Weight);
        Assert.Equal(Verdict.Invalid, judged.Result.Verdict);
        Assert.Equal(run.Passes.Count, judged.Result.Applications.Count);
    }

    [Theory]
    [InlineData(1.5, 60, true, true)]
    [InlineData(0.15, 60, false, false)]
    [InlineData(1.5, 6, false, true)]
    [InlineData(1.5, 1.2, false, false)]
    public void A_lasting_glow_without_a_flame_raises_an_alarm_and_a_strong_one_is_doubtful(double width, double height, bool told, bool alarmed)
    {
        var between = Usual.Make().Passes[5].Start + 9;

        var judged = (Usual with { Strays = [new BenchPulse(PulseShape.HalfSine, between, width, height)] }).Make().Judge();

        Assert.True(judged.Codes.Contains(FindingCodes.IgnitionWithoutFlame) == told, judged.Story);
        Assert.True(judged.Result.Verdict == (told ? Verdict.Doubtful : Verdict.Valid), judged.Story);
        Assert.Equal(alarmed ? 1 : 0, judged.Outputs.OfType<AlarmRaised>().Count(alarm => alarm.Code == AlarmCodes.IgnitionWithoutFlame));
        Assert.Equal(alarmed ? 1 : 0, judged.Outputs.OfType<AlarmCleared>().Count(alarm => alarm.Code == AlarmCodes.IgnitionWithoutFlame));
    }

    [Fact]
    public void Before_the_first_application_a_sudden_lasting_light_raises_an_alarm_and_leaves_the_verdict()
    {
        var first = Usual.Make().Passes[0].Start;

        var judged = (Usual with { Strays = [new BenchPulse(PulseShape.Rectangular, first - 60, 6, 60)] }).Make().Judge();

        Assert.Equal(first - 63, Assert.Single(judged.Outputs.OfType<AlarmRaised>(), alarm => alarm.Code == AlarmCodes.IgnitionWithoutFlame).AtSeconds, tolerance: 0.3);
        Assert.True(judged.Result.Verdict == Verdict.Valid, judged.Story);
    }

    [Fact]
    public void A_specimen_that_burns_again_while_it_cools_raises_an_alarm_and_keeps_the_record_open()
    {
        var trace = new BenchTrace { PerSecond = 25, Seed = 15, TailSeconds = 150 };
        var fire = trace.Make().Fire!;
        var again = fire.Onset!.Value + fire.Burned + 20;

        // Longer than a pulse of the trace's own flames, so that it is not one of them.
        var judged = (trace with { Strays = [new BenchPulse(PulseShape.Rectangular, again + 20, 40, trace.BurnHeight)] }).Make().Judge();

        Assert.Equal(again, Assert.Single(judged.Outputs.OfType<AlarmRaised>(), alarm => alarm.Code == AlarmCodes.IgnitionWithoutFlame).AtSeconds, tolerance: 0.25);
        Assert.DoesNotContain(FindingCodes.IgnitionWithoutFlame, judged.Codes);
        Assert.True(judged.Outputs.OfType<RunClosed>().Single().AtSeconds > again + 40);
    }

    [Fact]
    public void Single_temperature_jumps_are_kept_out_and_noted()
    {
        var run = Usual.Make();
        var rows = run.Rows.Select((row, i) => i % 997 == 500 ? row with { TemperatureCelsius = i % 2 == 0 ? -200 : 999 } : row);

        var judged = run.Judge(rows);

        Assert.Equal(run.Rows.Where((_, i) => i % 997 == 500).Count(), judged.Only(FindingCodes.TemperatureJump).Value);
        judged.AssertTrue(run);
    }

    [Theory]
    [InlineData(1370.0)]
    [InlineData(-200.0)]
    public void A_wild_first_reading_does_not_end_the_run(double first)
    {
        // An open thermocouple input reads full scale until the plug is in.
        var run = Usual.Make();

        var judged = run.Judge(run.Rows.Select((row, i) => i == 0 ? row with { TemperatureCelsius = first } : row));

        Assert.Contains(FindingCodes.TemperatureJump, judged.Codes);
        judged.AssertFlash(run);
    }

    [Fact]
    public void A_plug_that_is_out_for_two_seconds_costs_only_its_readings()
    {
        var run = Usual.Make();
        var from = run.Passes[5].Start + 5;

        var judged = run.Judge(run.Rows.Select(row => row.AtSeconds >= from && row.AtSeconds < from + 2 ? row with { TemperatureCelsius = 600 } : row));

        Assert.Equal(FindingWeight.Note, judged.Only(FindingCodes.TemperatureJump).Weight);
        judged.AssertTrue(run);
    }

    [Fact]
    public void A_thermometer_that_stays_off_does_not_end_the_record()
    {
        var run = Usual.Make();
        var from = run.Passes[5].Start + 5;

        var judged = run.Judge(run.Rows.Select(row => row.AtSeconds >= from && row.AtSeconds < from + 15 ? row with { TemperatureCelsius = 600 } : row));

        Assert.Equal(FindingWeight.Doubtful, judged.Only(FindingCodes.TemperatureJump).Weight);
        Assert.Contains(FindingCodes.DataGap, judged.Codes);
        judged.AssertFlash(run);
    }

    [Fact]
    public void Readings_out_of_order_are_kept_out_and_counted()
    {
        var run = Usual.Make();
        var rows = run.Rows.SelectMany((row, i) => i % 1000 == 500 ? new[] { row, row with { TemperatureCelsius = 12, Detector = 1e6 } } : [row]);

        var judged = run.Judge(rows);

        // Each repeated row carries three channels.
        Assert.Equal(3 * run.Rows.Where((_, i) => i % 1000 == 500).Count(), judged.Only(FindingCodes.TimeNotForward).Value);
        judged.AssertTrue(run);
    }

    [Fact]
    public void A_time_from_nowhere_does_not_shut_out_what_follows()
    {
        var run = Usual.Make();

        var judged = run.Judge(run.Rows.Select((row, i) => i == 300 ? row with { AtSeconds = 1e300 } : row));

        judged.AssertTrue(run);
    }

    [Fact]
    public void An_empty_record_closes_without_figures()
    {
        var judged = Usual.Make().Judge([]);

        Assert.Equal(Verdict.Invalid, judged.Result.Verdict);
        Assert.Null(judged.Only(FindingCodes.NoFlash).Value);
        Assert.Empty(judged.Result.Applications);
    }

    // ASTM D1310-14, clause 1 (scope): fire points up to 163 °C (325 °F). The bench method sets no limit of its own.
    [Theory]
    [InlineData(160.5, true, false)]
    [InlineData(164.5, true, true)]
    [InlineData(164.5, false, false)]
    public void A_fire_point_above_what_the_method_is_written_for_is_noted(double fire, bool limited, bool outside)
    {
        var usual = new BenchTrace().Method;
        var run = new BenchTrace
        {
            Method = limited ? usual with { FirePoint = usual.FirePoint with { HighestCelsius = 163 } } : usual,
            ExpectedCelsius = 156,
            StartCelsius = 86,
            FlashCelsius = 155.5,
            FireCelsius = fire,
            HottestCelsius = 175,
        }.Make();
        var judged = run.Judge();

        Assert.NotNull(judged.Result.Fire);
        Assert.True(judged.Codes.Contains(FindingCodes.OutsideScope) == outside, judged.Story);
        Assert.Equal(Verdict.Valid, judged.Result.Verdict);
        Assert.NotNull(judged.Result.Flash!.ReportedCelsius);
        Assert.Equal(outside, judged.Result.Fire.ReportedCelsius is null);
        var why = CannotReport.Why(judged.Result, run.Trace.Plan, PointKind.Fire);
        Assert.True(outside ? why!.Contains("lies above 163.0 °C, up to which", StringComparison.Ordinal) : why is null, why);
    }
}
