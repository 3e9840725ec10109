using Acquire.Core.Detection;
using Acquire.Core.Results;

namespace Acquire.Core.Runs;

/// <summary>Applications at which the detector's readings have a gap that a flash fits into.</summary>
/// <remarks>From its flash point on a specimen flashes at each application, so only a gap at the one right before the flash that was told leaves a doubt.</remarks>
internal static class DetectorGap
{
    /// <summary>Notes an application without a flash, before any.</summary>
    public static void Look(in Bench bench, Pass pass, PassVerdict verdict)
    {
        var series = bench.State.Series;
        if (verdict.HiddenSeconds is not (> 0 and var gap))
        {
            series.Gap = null;
            return;
        }

        series.Gap = (pass.Start, bench.State.Ramp.ReadAt(pass.Start) ?? 0);
        series.GapCount++;
        series.LongestGapSeconds = Math.Max(series.LongestGapSeconds, gap);
    }

    /// <summary>States them once the run is over.</summary>
    public static void Finish(in Bench bench)
    {
        var s = bench.State;
        if (s.Series.GapCount == 0 || bench.Plan.Method.Procedure != Methods.ProcedureKind.Ramp)
        {
            return;
        }

        var all = s.Series.GapCount == 1 ? "At one application" : FormattableString.Invariant($"At {s.Series.GapCount} applications");
        var told = $"{all} {(s.Flash is null ? "" : "before a flash was told ")}the detector sent nothing for up to {Text.Seconds(s.Series.LongestGapSeconds)} while the test flame was over the cup. A flash in there would not have been seen.";
        if (s.Series.Gap is { } last)
        {
            bench.Find(FindingCodes.DetectorGap, FindingWeight.Doubtful, last.AtSeconds, last.Celsius, s.Series.LongestGapSeconds, PassSight.HidingSeconds,
                $"{told} The one at {Text.Celsius(last.Celsius)} was the last{(s.Flash is null ? "" : " before the flash, so that may not have been the first")}. Check the detector's wire.");
            return;
        }

        bench.Find(FindingCodes.DetectorGap, FindingWeight.Note, s.AtSeconds, s.TemperatureCelsius, s.Series.LongestGapSeconds, PassSight.HidingSeconds,
            $"{told} The applications after them were seen whole and showed none. Check the detector's wire.");
    }
}
