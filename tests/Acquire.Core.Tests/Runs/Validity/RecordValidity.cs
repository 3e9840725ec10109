using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Tests.Traces;

namespace Acquire.Core.Tests.Runs.Validity;

/// <summary>Rules about the record as a whole.</summary>
internal static class RecordValidity
{
    private const string Gap = "gapSeconds of 3 s: common practice, no source";

    private static readonly BenchTrace Usual = new() { PerSecond = 25, FireCelsius = null, Seed = 13 };

    public static IEnumerable<ValidityRule> Rules =>
    [
        new(FindingCodes.DataGap, "4 and 2.8 s in the series", Gap, FindingWeight.Doubtful, () => Hole(213, 4), () => Hole(213, 2.8)),
        new(FindingCodes.DataGap, "4 and 2.8 s before the series", Gap, FindingWeight.Note, () => Hole(165, 4), () => Hole(165, 2.8)),
        // 22 s at 5.5 °C/min are an interval of 2 °C: a longer hole hides an application.
        new(FindingCodes.DataGap, "40 and 2.8 s in the series", Gap, FindingWeight.Invalid, () => Hole(213, 40), () => Hole(213, 2.8)),
        new(FindingCodes.DataGap, "6 s across the application before the flash, and 2.8 s", Gap, FindingWeight.Doubtful, () => Across(6), () => Across(2.8)) { Verdict = Verdict.Invalid, KeptVerdict = Verdict.Invalid },
        new(FindingCodes.ApplicationMissed, "a hole of all channels across an application, and one between two", "1.75 intervals: common practice, no source", FindingWeight.Invalid, () => Across(6), () => Hole(213, 6))
            { KeptVerdict = Verdict.Doubtful },
        new(FindingCodes.PointNotRead, "5 and 2 s before the flash", Gap, FindingWeight.Invalid, () => SilentFrom(5), () => SilentFrom(2)) { KeptVerdict = Verdict.Doubtful },
        new(FindingCodes.PointOffRamp, "knocked by 1.5 and 0.2 °C", "tolerance of the interval, 0.6 °C: common practice, no source", FindingWeight.Doubtful, () => Knocked(1.5), () => Knocked(0.2)),
        new(FindingCodes.TimeNotForward, "one row twice, and none", "common practice, no source", FindingWeight.Note, () => Twice(1), () => Twice(0)),
        // 4 °C and 3 °C/s more: at 25 readings a second 4.1 °C.
        new(FindingCodes.TemperatureJump, "5 and 3 °C for one reading", "4 °C plus 3 °C/s: common practice, no source", FindingWeight.Note, () => Jump(5, 0.03), () => Jump(3, 0.03)),
        new(FindingCodes.TemperatureJump, "a step that lasts, and one of 3 °C for a reading", "10 s: common practice, no source", FindingWeight.Doubtful, () => Jump(40, 15), () => Jump(3, 0.03)) { Verdict = Verdict.Invalid },
        new(FindingCodes.PressureAssumed, "not given, and given", "ISO 2592: correct for the pressure", FindingWeight.Note, () => At(null), () => At(101.3)),
        new(FindingCodes.PressureOutsideRange, "97.9 and 98.0 kPa", "ISO 2592: strictly correct from 98.0 to 104.7 kPa", FindingWeight.Note, () => At(97.9), () => At(98.0)),
        new(FindingCodes.PressureOutsideRange, "104.8 and 104.7 kPa", "ISO 2592: strictly correct from 98.0 to 104.7 kPa", FindingWeight.Note, () => At(104.8), () => At(104.7)),
    ];

    private static Judged Hole(double celsius, double seconds)
    {
        var run = Usual.Make();
        var from = run.Passes.LastOrDefault(pass => pass.Celsius <= celsius)?.Start + 5 ?? run.Rows.First(row => row.TemperatureCelsius >= celsius).AtSeconds;
        return run.Judge(run.Rows.Where(row => row.AtSeconds < from || row.AtSeconds > from + seconds));
    }

    private static Judged Across(double seconds)
    {
        var run = Usual.Make();
        var pass = run.Passes[run.Passes.ToList().IndexOf(run.Flash!) - 1];
        var from = pass.Start + 0.5 - (seconds / 2);
        return run.Judge(run.Rows.Where(row => row.AtSeconds < from || row.AtSeconds > from + seconds));
    }

    private static Judged SilentFrom(double secondsBefore)
    {
        var run = Usual.Make();
        var from = run.Flash!.Onset!.Value - secondsBefore;
        return run.Judge(run.Rows.Select(row => row.AtSeconds < from ? row : row with { Present = row.Present & ~RowChannels.Temperature }));
    }

    private static Judged Knocked(double celsius)
    {
        var run = Usual.Make();
        var from = run.Flash!.Onset!.Value - 0.5;
        return run.Judge(run.Rows.Select(row => row.AtSeconds >= from && row.AtSeconds < from + 2 ? row with { TemperatureCelsius = row.TemperatureCelsius + celsius } : row));
    }

    private static Judged Twice(int rows)
    {
        var run = Usual.Make();
        return run.Judge(run.Rows.SelectMany((row, i) => i >= 1000 && i < 1000 + rows ? new[] { row, row } : [row]));
    }

    private static Judged Jump(double celsius, double seconds)
    {
        var run = Usual.Make();
        var from = run.Passes[5].Start + 5;
        return run.Judge(run.Rows.Select(row => row.AtSeconds >= from && row.AtSeconds < from + seconds ? row with { TemperatureCelsius = row.TemperatureCelsius + celsius } : row));
    }

    private static Judged At(double? kilopascals) => (Usual with { Kilopascals = kilopascals }).Make().Judge();
}
