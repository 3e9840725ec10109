using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Core.Tests.Traces;
using Xunit;

namespace Acquire.Core.Tests.Results;

public sealed class CannotReportTests
{
    private static readonly BenchTrace Usual = new() { PerSecond = 25, FireCelsius = null, Seed = 501 };

    [Fact]
    public void A_point_that_can_be_reported_needs_no_reason()
    {
        Assert.Null(Why(ClosedRuns.Valid, PointKind.Flash));
        Assert.Null(Why(ClosedRuns.Valid with { Verdict = Verdict.Doubtful }, PointKind.Fire));
    }

    [Fact]
    public void No_flash_tells_how_far_the_specimen_was_heated()
    {
        var highest = ClosedRuns.Invalid(ClosedRuns.Found(FindingCodes.NoFlash, FindingWeight.Invalid, 246.2)) with { Flash = null };
        var unread = ClosedRuns.Invalid(ClosedRuns.Found(FindingCodes.NoFlash, FindingWeight.Invalid, null)) with { Flash = null };

        // 0.25 °C/kPa × (101.3 − 97.3) kPa = 1.0 °C.
        Assert.Equal("No flash point can be reported: there was no flash up to 246.2 °C (247.2 °C at 101.3 kPa).", Why(highest, PointKind.Flash));
        Assert.Equal("No flash point can be reported: there was no flash up to 246.2 °C.", Why(highest with { StationKilopascals = 101.3 }, PointKind.Flash));
        Assert.Equal("No flash point can be reported: there was no flash, and no temperature was ever read.", Why(unread, PointKind.Flash));
    }

    [Fact]
    public void A_flash_at_the_first_application_bounds_the_flash_point()
    {
        var result = ClosedRuns.Invalid(ClosedRuns.Found(FindingCodes.FlashAtFirstApplication, FindingWeight.Invalid, 203));

        Assert.Equal("No flash point can be reported: the first application of the test flame, at 203.0 °C (204.0 °C at 101.3 kPa), already flashed, so the flash point lies at or below it.", Why(result, PointKind.Flash));
        Assert.StartsWith("No fire point can be reported: the first application", Why(result, PointKind.Fire), StringComparison.Ordinal);
    }

    [Fact]
    public void Any_other_invalid_run_is_given_its_finding()
    {
        var fast = ClosedRuns.Found(FindingCodes.RateTooFast, FindingWeight.Invalid, 7.2, 6, "The rate was 7.20 °C/min, above 6.00 °C/min. Begin again.");
        var note = ClosedRuns.Found(FindingCodes.PressureAssumed, FindingWeight.Note, 101.3);

        Assert.Equal("No flash point can be reported: the run is invalid by the finding rate-too-fast: The rate was 7.20 °C/min, above 6.00 °C/min.", Why(ClosedRuns.Invalid(note, fast), PointKind.Flash));
        Assert.Equal("No fire point can be reported: the run is invalid as a whole by the finding rate-too-fast (and 1 more): The rate was 7.20 °C/min, above 6.00 °C/min.", Why(ClosedRuns.Invalid(fast, ClosedRuns.Found(FindingCodes.DataGap, FindingWeight.Invalid, 30)), PointKind.Fire));
    }

    [Fact]
    public void A_dead_detector_comes_before_what_follows_from_it()
    {
        var result = ClosedRuns.Invalid(ClosedRuns.Found(FindingCodes.NoFlash, FindingWeight.Invalid, 246), ClosedRuns.Found(FindingCodes.DetectorDead, FindingWeight.Invalid, null)) with { Flash = null };

        Assert.Contains("the detector showed nothing at all", Why(result, PointKind.Flash), StringComparison.Ordinal);
    }

    [Fact]
    public void A_missing_fire_is_told_by_its_burns()
    {
        var without = ClosedRuns.Valid with { Fire = null };

        Assert.Equal("No fire point can be reported: the longest burn lasted 3.2 s of the 5.0 s needed.", Why(without with { Findings = [ClosedRuns.Found(FindingCodes.NoFirePoint, FindingWeight.Note, 3.2, 5)] }, PointKind.Fire));
        Assert.Equal("No fire point can be reported: the record ends when the specimen had burned for 4.1 s of the 5.0 s needed.", Why(without with { Findings = [ClosedRuns.Found(FindingCodes.EndedWhileBurning, FindingWeight.Note, 4.1, 5)] }, PointKind.Fire));
        Assert.Contains("thermometer was not read at the moment the fire began", Why(without with { Findings = [ClosedRuns.Found(FindingCodes.PointNotRead, FindingWeight.Doubtful, 9, 3)] }, PointKind.Fire), StringComparison.Ordinal);
        Assert.Null(Why(without, PointKind.Flash));
    }

    [Fact]
    public void A_method_that_ends_at_the_flash_has_no_fire_point()
    {
        var plan = ClosedRuns.Plan with { Method = ClosedRuns.Method with { FirePoint = new() { Determined = false, SustainedSeconds = 5 } } };

        Assert.Contains("ends with the flash point", CannotReport.Why(ClosedRuns.Valid with { Fire = null }, plan, PointKind.Fire), StringComparison.Ordinal);
    }

    [Fact]
    public void Runs_judged_from_their_readings_say_why()
    {
        var none = (Usual with { FlashCelsius = null, HottestCelsius = 236 }).Make();
        var first = (Usual with { FlashCelsius = 202 }).Make();
        var whole = Usual.Make();
        var from = whole.Flash!.Onset!.Value - 5;
        var unread = whole.Judge(whole.Rows.Select(row => row.AtSeconds < from ? row : row with { Present = row.Present & ~RowChannels.Temperature })).Result;

        Assert.Contains("there was no flash up to 23", Why(none.Judge().Result, PointKind.Flash, none.Trace.Plan), StringComparison.Ordinal);
        Assert.Contains("at or below it", Why(first.Judge().Result, PointKind.Flash, first.Trace.Plan), StringComparison.Ordinal);
        Assert.Contains("thermometer was not read at the moment of the flash", Why(unread, PointKind.Flash, whole.Trace.Plan), StringComparison.Ordinal);
        Assert.Contains("the longest burn lasted", Why(whole.Judge().Result, PointKind.Fire, whole.Trace.Plan), StringComparison.Ordinal);
        Assert.Contains("detector showed nothing", Why(whole.Judge([]).Result, PointKind.Flash, whole.Trace.Plan), StringComparison.Ordinal);
    }

    private static string? Why(RunResult result, PointKind kind, RunPlan? plan = null) => CannotReport.Why(result, plan ?? ClosedRuns.Plan, kind);
}
