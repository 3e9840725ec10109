using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Tests.Traces;

namespace Acquire.Core.Tests.Runs.Validity;

/// <summary>Rules about flash and fire.</summary>
internal static class IgnitionValidity
{
    private const string Ours = "common practice, no source";

    private static readonly BenchTrace Usual = new() { PerSecond = 25, FireCelsius = null, Seed = 13 };

    private static readonly BenchTrace Fire = new() { PerSecond = 25, FireSeconds = 8, Seed = 15 };

    public static IEnumerable<ValidityRule> Rules =>
    [
        new(FindingCodes.NoFlash, "heated to 236 °C without one, and with one", "ISO 2592: a flash point is a flash", FindingWeight.Invalid,
            () => (Usual with { FlashCelsius = null, HottestCelsius = 236 }).Make().Judge(), () => Usual.Make().Judge()),
        new(FindingCodes.FlashUncertain, "an event as slow as a halo, 15 and 3 deviations high", "four times the passes before: " + Ours, FindingWeight.Doubtful,
            () => Slow(14), () => Slow(3)) { Verdict = Verdict.Invalid, KeptVerdict = Verdict.Invalid },
        // The second pass after the first flash shows nothing, and the third again.
        new(FindingCodes.FlashNotRepeated, "a strong flash whose light is taken from the next application, and one that is repeated", Ours, FindingWeight.Note,
            () => Unrepeated(40), () => Usual.Make().Judge()),
        new(FindingCodes.FlashNotRepeated, "a faint flash likewise", "12 deviations: " + Ours, FindingWeight.Doubtful, () => Unrepeated(9), () => Usual.Make().Judge()),
        new(FindingCodes.NoFirePoint, "burns of 4.6 and 5.3 s", "ISO 2592: burns for at least 5 s", FindingWeight.Note,
            () => new BenchTrace { FireSeconds = 4.6, Seed = 141 }.Make().Judge(), () => new BenchTrace { FireSeconds = 5.3, Seed = 141 }.Make().Judge()),
        new(FindingCodes.EndedWhileBurning, "ends after 4 and 5.6 s", "ISO 2592: burns for at least 5 s", FindingWeight.Note, () => EndsAfter(4), () => EndsAfter(5.6)),
        new(FindingCodes.FireWithoutFlash, "fire at the first flash, and 10 °C above it", Ours, FindingWeight.Note,
            () => (Fire with { FireCelsius = 225.5 }).Make().Judge(), () => Fire.Make().Judge()),
        new(FindingCodes.FireWithoutFlash, "a faint fire at the first flash, and a strong one above it", "30 deviations: " + Ours, FindingWeight.Doubtful,
            () => (Fire with { FireCelsius = 225.5, FlashHeight = 8, BurnHeight = 8 }).Make().Judge(), () => Fire.Make().Judge()),
        new(FindingCodes.IgnitionWithoutFlame, "a glow of 1.5 and 0.15 s", "0.3 s: " + Ours, FindingWeight.Doubtful, () => Stray(1.5), () => Stray(0.15)),
        new(FindingCodes.DetectorDead, "one value all along, and one that moves", Ours, FindingWeight.Invalid, () => Dead(0), () => Dead(1)),
        new(FindingCodes.DetectorNotTrusted, "18 and 22 readings a second", "50 ms between readings: " + Ours, FindingWeight.Note,
            () => (Usual with { PerSecond = 18 }).Make().Judge(), () => (Usual with { PerSecond = 22 }).Make().Judge()),
        new(FindingCodes.DetectorNotTrusted, "a wild reading every 11 s, at 10 and at 25 readings a second", "3 in 60 s where they come slower than 50 ms: " + Ours, FindingWeight.Doubtful,
            () => Wild(10), () => Wild(25)),
        new(FindingCodes.DetectorAtEnd, "a converter that ends 5 and 200 above rest, a pass being 8 high", "0.1 s at one value: " + Ours, FindingWeight.Doubtful,
            () => Ending(5), () => Ending(200)) { Verdict = Verdict.Invalid },
        new(FindingCodes.DetectorGap, "0.25 and 0.06 s of readings lost at the application before the flash", "0.15 s, of a flash of 0.06 to 0.2 s little is left: " + Ours, FindingWeight.Doubtful, () => Gapped(1, 0.25), () => Gapped(1, 0.06)),
        new(FindingCodes.DetectorGap, "the same at an earlier application", "the one after it was seen whole: " + Ours, FindingWeight.Note, () => Gapped(3, 0.25), () => Gapped(3, 0.06)),
        new(FindingCodes.SecondDetectorSilent, "a second detector that came with every row and is silent for 30 and for 4 s", "5 s: " + Ours, FindingWeight.Note, () => Silent(30), () => Silent(4)),
        new(FindingCodes.SecondDetectorStill, "a second detector that shows one value all along, and one that moved once, by little", Ours, FindingWeight.Note, () => Still(0), () => Still(1e-6)),
        new(FindingCodes.OutsideScope, "77 and 83 °C", "ISO 2592, clause 1: above 79 °C", FindingWeight.Doubtful, () => Low(76.5), () => Low(81.5)),
    ];

    private static Judged Slow(double height)
    {
        var trace = Usual with { FlashCelsius = null, HottestCelsius = 236, PassHeight = 0.3, HaloHeight = 0 };
        var pass = trace.Make().Passes[8];
        return (trace with { Strays = [new BenchPulse(PulseShape.HalfSine, pass.Start + 0.5, 0.9, height)] }).Make().Judge();
    }

    private static Judged Unrepeated(double height)
    {
        // A flash point far above, and one brief light at the application at 219 °C: those after it show nothing.
        var trace = Usual with { FlashCelsius = null, HottestCelsius = 226, HaloHeight = 0 };
        var pass = trace.Make().Passes[8];
        return (trace with { Strays = [new BenchPulse(PulseShape.Decay, pass.Start + 0.45, 0.12, height)] }).Make().Judge();
    }

    private static Judged Gapped(int before, double seconds)
    {
        var run = Usual.Make();
        var passes = run.Passes.Where(pass => pass.Start < run.Flash!.Onset - 2).ToArray();
        var from = passes[^before].Start + 0.3;
        return run.Judge(run.Rows.Where(row => row.AtSeconds < from || row.AtSeconds > from + seconds));
    }

    private static Judged EndsAfter(double seconds)
    {
        var run = Fire.Make();
        return run.Judge(run.Rows.TakeWhile(row => row.AtSeconds < run.Fire!.Onset + seconds));
    }

    private static Judged Stray(double width)
    {
        var between = Usual.Make().Passes[5].Start + 9;
        return (Usual with { Strays = [new BenchPulse(PulseShape.HalfSine, between, width, 60)] }).Make().Judge();
    }

    private static Judged Dead(double share)
    {
        var run = Usual.Make();
        return run.Judge(run.Rows.Select(row => row with { Detector = 512 + (share * (row.Detector - 512)) }));
    }

    // Wild readings between the passes, so that none is taken for a flash.
    private static Judged Wild(double perSecond)
    {
        var run = (Usual with { PerSecond = perSecond }).Make();
        return run.Judge(run.Rows.Select(row => row.AtSeconds % 11 < 1 / perSecond && run.Passes.All(pass => Math.Abs(row.AtSeconds - pass.Start) > 4)
            ? row with { Detector = row.Detector + 15 }
            : row));
    }

    // What is above the end of the converter reads as the end; here the flash too.
    private static Judged Ending(double above)
    {
        var run = Usual.Make();
        var rest = run.Rows.Take(200).Average(row => row.Detector);
        return run.Judge(run.Rows.Select(row => row with { Detector = Math.Min(row.Detector, rest + above) }));
    }

    private static Judged Silent(double seconds)
    {
        var run = Usual.Make();
        var from = run.Passes[5].Start + 4;
        return run.Judge(run.Rows.Select(row => row.AtSeconds >= from && row.AtSeconds < from + seconds
            ? row
            : row with { Present = row.Present | RowChannels.SecondDetector, SecondDetector = 14 + (0.2 * row.Detector) }));
    }

    private static Judged Still(double step)
    {
        var run = Usual.Make();
        var from = run.Passes[5].Start + 4;
        return run.Judge(run.Rows.Select(row => row with { Present = row.Present | RowChannels.SecondDetector, SecondDetector = 512 + (row.AtSeconds < from ? 0 : step) }));
    }

    private static Judged Low(double flash) => (Usual with { ExpectedCelsius = 82, StartCelsius = 14, FlashCelsius = flash, HottestCelsius = 100 }).Make().Judge();
}
