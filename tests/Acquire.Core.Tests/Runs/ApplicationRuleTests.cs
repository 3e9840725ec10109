using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Core.Tests.Traces;
using Xunit;

namespace Acquire.Core.Tests.Runs;

public sealed class ApplicationRuleTests
{
    // ISO 2592: first application (23 ± 5) °C below the expected flash point (value from memory), then every 2 °C, about 1 s each.
    private static readonly BenchTrace Usual = new() { PerSecond = 25, FireCelsius = null, Seed = 7 };

    private static Judged Judge(BenchTrace trace) => trace.Make().Judge();

    private static void AssertTwins(BenchTrace broken, BenchTrace kept, string code, Verdict verdict)
    {
        var bad = Judge(broken);
        var good = Judge(kept);

        Assert.True(bad.Codes.Contains(code), bad.Story);
        Assert.True(bad.Result.Verdict == verdict, bad.Story);
        good.Lacks(code);
        Assert.True(good.Result.Verdict == Verdict.Valid, good.Story);
        good.AssertFlash(kept.Make());
    }

    [Fact]
    public void A_late_first_application_is_doubtful() =>
        AssertTwins(Usual with { FirstApplicationCelsius = 226 - 17 }, Usual with { FirstApplicationCelsius = 226 - 18 }, FindingCodes.FirstApplicationLate, Verdict.Doubtful);

    [Fact]
    public void A_late_application_is_doubtful() =>
        AssertTwins(Usual with { LateBy = number => number == 4 ? 1.0 : 0 }, Usual with { LateBy = number => number == 4 ? 0.4 : 0 }, FindingCodes.ApplicationLate, Verdict.Doubtful);

    [Fact]
    public void An_early_application_is_only_noted()
    {
        var judged = Judge(Usual with { LateBy = number => number == 4 ? -0.9 : 0 });

        Assert.Equal(FindingWeight.Note, judged.Only(FindingCodes.ApplicationEarly).Weight);
        Assert.True(judged.Result.Verdict == Verdict.Valid, judged.Story);
    }

    [Fact]
    public void An_application_left_out_is_doubtful_and_found_once()
    {
        AssertTwins(Usual with { LeftOut = [4] }, Usual with { LeftOut = [] }, FindingCodes.ApplicationMissed, Verdict.Doubtful);

        var finding = Judge(Usual with { LeftOut = [4] }).Only(FindingCodes.ApplicationMissed);
        Assert.Equal(2, finding.Limit);
        Assert.InRange(finding.Value!.Value, 3.5, 4.2);
    }

    [Fact]
    public void Without_a_flame_signal_a_pass_that_leaves_no_signature_was_not_made()
    {
        // The passes before stand out by more than 15 deviations of short means: one that is not there cannot have been overlooked.
        var clear = Usual with { HasFlame = false, PassHeight = 16 };
        AssertTwins(clear with { LeftOut = [4] }, clear, FindingCodes.ApplicationMissed, Verdict.Doubtful);
        Assert.DoesNotContain(Judge(clear with { LeftOut = [4] }).Result.Applications, application => application.Evidence == ApplicationEvidence.Schedule);

        // Where they hardly stand out, it counts as made when it was due, and is told as not confirmed.
        var faint = Judge(Usual with { HasFlame = false, PassHeight = 0, HaloHeight = 0, LeftOut = [4] });
        faint.Lacks(FindingCodes.ApplicationMissed);
        Assert.Equal(FindingWeight.Note, faint.Only(FindingCodes.ApplicationUnconfirmed).Weight);
    }

    [Fact]
    public void With_a_flame_signal_a_pass_that_leaves_no_signature_does_not_count()
    {
        // The holder came and the flame did not: the detector shows what it did some seconds before.
        var run = (Usual with { PassHeight = 16 }).Make();
        var pass = run.Passes[6];
        var before = run.Rows.Where(row => row.AtSeconds > pass.Start - 8 && row.AtSeconds < pass.Start - 4).Select(row => row.Detector).ToArray();
        var rows = run.Rows.Select((row, i) => row.AtSeconds > pass.Start - 1 && row.AtSeconds < pass.Start + 3 ? row with { Detector = before[i % before.Length] } : row);

        var judged = run.Judge(rows);

        Assert.Contains("saw nothing of the test flame", judged.Only(FindingCodes.TestFlameOut).Text, StringComparison.Ordinal);
        Assert.Contains(FindingCodes.ApplicationMissed, judged.Codes);
        Assert.True(judged.Result.Applications.Single(made => Math.Abs(made.TimeSeconds - pass.Start) < 0.5).Unlit);
        run.Judge().Lacks(FindingCodes.TestFlameOut);
    }

    [Fact]
    public void A_flash_right_after_an_application_left_out_makes_the_run_invalid()
    {
        // Applications at 203, 205, ... °C; the one at 225 °C is left out and the one at 227 °C flashes.
        var run = (Usual with { LeftOut = [11] }).Make();

        var judged = run.Judge();

        Assert.Equal(227, run.Flash!.Celsius, tolerance: 0.5);
        Assert.True(judged.Result.Verdict == Verdict.Invalid, judged.Story);
        Assert.Contains(judged.Result.Findings, finding => finding is { Code: FindingCodes.ApplicationMissed, Weight: FindingWeight.Invalid });
        Assert.Null(judged.Result.Flash!.ReportedCelsius);
    }

    [Fact]
    public void A_flash_at_the_first_application_makes_the_run_invalid()
    {
        // ASTM D92, 11.1.9 (value from memory): stop and begin again with a fresh specimen, 28 °C below that temperature.
        var judged = Judge(Usual with { FlashCelsius = 202 });

        Assert.Equal(FindingWeight.Invalid, judged.Only(FindingCodes.FlashAtFirstApplication).Weight);
        Assert.Equal(Verdict.Invalid, judged.Result.Verdict);
        Assert.Equal(203, judged.Result.Flash!.ObservedCelsius, tolerance: 0.3);

        Judge(Usual with { FlashCelsius = 204.5 }).Lacks(FindingCodes.FlashAtFirstApplication);
    }

    [Fact]
    public void A_flame_that_stays_too_long_is_doubtful() =>
        AssertTwins(Usual with { PassSeconds = number => number == 4 ? 2.6 : 1 }, Usual with { PassSeconds = number => number == 4 ? 1.9 : 1 }, FindingCodes.ApplicationTooLong, Verdict.Doubtful);

    [Theory]
    [InlineData(-70)]
    [InlineData(-60)]
    [InlineData(-50)]
    public void A_flash_far_below_the_schedule_is_stated_and_invalid(double below)
    {
        // A pass made early, to check for volatile contamination, that flashes: the strongest fact of the run.
        var judged = Judge(Usual with { StartCelsius = 146, FirstApplicationCelsius = 226 + below, FlashCelsius = 226 + below - 0.5 });

        Assert.True(judged.Result.Flash is not null, judged.Story);
        Assert.Equal(226 + below, judged.Result.Flash.ObservedCelsius, tolerance: 0.5);
        Assert.Equal(FindingWeight.Invalid, judged.Only(FindingCodes.FlashBelowSeries).Weight);
        judged.Lacks(FindingCodes.FlashAtFirstApplication);
    }

    [Theory]
    [InlineData(1.0, true)]
    [InlineData(5.5, true)]
    [InlineData(1.0, false)]
    [InlineData(5.5, false)]
    public void A_flame_position_told_only_when_it_changes_says_as_much(double seconds, bool everyRow)
    {
        var run = (Usual with { PassSeconds = number => number == 4 ? seconds : 1 }).Make();
        var before = false;
        var rows = everyRow ? run.Rows : [.. run.Rows.Select((row, i) =>
        {
            var changed = i == 0 || row.FlameOver != before;
            before = row.FlameOver;
            return changed ? row : row with { Present = row.Present & ~RowChannels.Flame, FlameOver = false };
        })];

        var judged = run.Judge(rows);

        Assert.True(judged.Result.Applications.Count == run.Passes.Count, judged.Story);
        Assert.Equal(Enumerable.Range(1, run.Passes.Count), judged.Result.Applications.Select(made => made.Number));
        Assert.Equal(seconds > 2, judged.Codes.Contains(FindingCodes.ApplicationTooLong));
        judged.AssertFlash(run);
    }

    [Fact]
    public void A_bouncing_contact_makes_no_application()
    {
        var run = (Usual with { PerSecond = 100 }).Make();
        var bounce = run.Passes[4].Start + 8;
        var rows = run.Rows.Select(row => row.AtSeconds >= bounce && row.AtSeconds < bounce + 0.03 ? row with { FlameOver = true } : row);

        var judged = run.Judge(rows);

        Assert.Equal(run.Passes.Count, judged.Result.Applications.Count);
        judged.AssertTrue(run);
    }

    [Fact]
    public void Passes_over_burning_oil_are_counted_and_do_not_flash_anew()
    {
        // A technician lights the cup again and again: the flame passes while the specimen burns for 4 s.
        var run = new BenchTrace { PerSecond = 25, ShortBurns = [4], Seed = 9 }.Make();
        var burn = run.Passes.Single(pass => pass.Burned == 4);
        var rows = run.Rows.Select(row => row.AtSeconds >= burn.Start + 2 && row.AtSeconds < burn.Start + 3 ? row with { FlameOver = true } : row);

        var judged = run.Judge(rows);

        Assert.True(judged.Result.Applications.Count == run.Passes.Count + 1, judged.Story);
        Assert.Single(judged.Outputs.OfType<FlashDetected>());
        judged.AssertFlash(run);
    }

    [Fact]
    public void A_flame_before_the_first_thermometer_reading_is_no_application_at_zero_degrees()
    {
        var run = Usual.Make();
        var early = run.Rows.Take(100).Select((row, i) => row with { Present = row.Present & ~RowChannels.Temperature, TemperatureCelsius = 0, FlameOver = i is > 20 and < 45 });

        var judged = run.Judge(early.Concat(run.Rows.Skip(100)));

        Assert.All(judged.Result.Applications, made => Assert.InRange(made.TemperatureCelsius, 150, 260));
        Assert.All(judged.Outputs.OfType<PhaseChanged>().Where(change => change.AtSeconds < 3.9), change => Assert.Equal(RunPhase.Ready, change.From));
        judged.AssertTrue(run);
    }
}
