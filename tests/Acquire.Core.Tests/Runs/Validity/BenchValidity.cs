using Acquire.Core.Methods;
using Acquire.Core.Results;
using Acquire.Core.Tests.Traces;

namespace Acquire.Core.Tests.Runs.Validity;

/// <summary>Rules about what is told of the bench: Pensky-Martens for the stirrer, the Cleveland open cup for the rest.</summary>
internal static class BenchValidity
{
    private const string Air = "0.3 m/s for 5 s: common practice, no source";

    private static readonly BenchTrace Open = new() { PerSecond = 25, FireCelsius = null, Seed = 13 };

    private static readonly BenchTrace Closed = new()
    {
        Method = Method("iso-2719-2016-a"),
        PerSecond = 25,
        ExpectedCelsius = 62,
        StartCelsius = 25,
        RateAt = _ => 5.5,
        FlashCelsius = 61.7,
        FireCelsius = null,
        HottestCelsius = 82,
    };

    public static IEnumerable<ValidityRule> Rules =>
    [
        new(FindingCodes.StirrerOnAtApplication, "left on at one application, and at none", "ISO 2719: stirring is discontinued while the flame is applied", FindingWeight.Doubtful,
            () => Stirred(run => ToldBench.Stops(run, 105, 6)), () => Stirred(run => ToldBench.Stops(run, 105))),
        new(FindingCodes.StirrerOnAtApplication, "of a tester that only tells whether it turns", "ISO 2719: stirring is discontinued while the flame is applied", FindingWeight.Doubtful,
            () => Turning(run => ToldBench.Stops(run, 105, 6)), () => Turning(run => ToldBench.Stops(run, 105))),
        new(FindingCodes.StirrerOnAtApplication, "Abel", "ISO 13736: stopped during application", FindingWeight.Doubtful, () => Abel(6), () => Abel()),
        new(FindingCodes.StirrerOutsideBand, "125 and 119 r/min", "ISO 2719, procedure A: 90 to 120 r/min; value from memory", FindingWeight.Doubtful,
            () => Stirred(run => ToldBench.Stops(run, 125)), () => Stirred(run => ToldBench.Stops(run, 119))),
        new(FindingCodes.StirrerOutsideBand, "85 and 91 r/min", "ISO 2719, procedure A: 90 to 120 r/min; value from memory", FindingWeight.Doubtful,
            () => Stirred(run => ToldBench.Stops(run, 85)), () => Stirred(run => ToldBench.Stops(run, 91))),
        // Between the rate has settled (31 °C) and the first application (39 °C) there is time to stand.
        new(FindingCodes.StirrerOutsideBand, "standing for 12 and for 8 s", "10 s: common practice, no source", FindingWeight.Doubtful, () => Standing(12), () => Standing(8)),
        new(FindingCodes.Draught, "0.5 and 0.25 m/s at an application", Air, FindingWeight.Doubtful, () => Blowing(5, -3, 3, 0.5), () => Blowing(5, -3, 3, 0.25)),
        new(FindingCodes.Draught, "0.5 m/s for 8 and for 3 s between two applications", Air, FindingWeight.Note, () => Blowing(5, 5, 8, 0.5), () => Blowing(5, 5, 3, 0.5)),
        new(FindingCodes.AmbientChanged, "warms by 6 and by 4 °C", "5 °C: common practice, no source", FindingWeight.Note, () => Room(Open, t => 23 + (t / 100)), () => Room(Open, t => 23 + (t / 150))),
        new(FindingCodes.AmbientOutsideRange, "31 and 29 °C where a method asks for 15 to 30 °C", "an invented method; none that comes with the program states a range", FindingWeight.Doubtful,
            () => Room(Ranged, _ => 31), () => Room(Ranged, _ => 29)),
        new(FindingCodes.AmbientOutsideRange, "14 and 16 °C where a method asks for 15 to 30 °C", "an invented method; none that comes with the program states a range", FindingWeight.Doubtful,
            () => Room(Ranged, _ => 14), () => Room(Ranged, _ => 16)),
        // Out over the whole pass, and lit again before the flame leaves the cup: then it could have shown a flash.
        new(FindingCodes.TestFlameOut, "out over an application, and relit during it", "common practice, no source", FindingWeight.Note, () => Out(5, 3, 3), () => Out(5, 3, -0.5)) { Verdict = Verdict.Doubtful },
        new(FindingCodes.ApplicationMissed, "out over an application, and out between two", "1.75 intervals: common practice, no source", FindingWeight.Doubtful, () => Out(5, 3, 3), () => Out(5, -8, 12)),
        // The application before the flash did not count, so that the flash may have come sooner.
        new(FindingCodes.ApplicationMissed, "out over the application before the flash, and over none", "1.75 intervals: common practice, no source", FindingWeight.Invalid, () => OutBeforeFlash(3), () => OutBeforeFlash(-8)),
        new(FindingCodes.BenchSilent, "a stirrer that came with every row and is silent for 30 and for 4 s", "5 s: common practice, no source", FindingWeight.Note, () => Silent(30), () => Silent(4)),
        new(FindingCodes.TestFlameOut, "told to be out at the flash, and lit", "common practice, no source", FindingWeight.Doubtful, () => Contradicted(false), () => Contradicted(true)),
    ];

    private static BenchTrace Ranged => Open with { Method = Open.Method with { Surroundings = Open.Method.Surroundings! with { AmbientCelsius = new(15, 30) } } };

    private static MethodDefinition Method(string id) => MethodCatalog.TryFind(id, out var method) ? method : throw new ArgumentException(id, nameof(id));

    private static Judged Stirred(Func<BenchRun, Func<double, double>> speed)
    {
        var run = Closed.Make();
        return new ToldBench { Stirrer = speed(run) }.Judge(run);
    }

    private static Judged Turning(Func<BenchRun, Func<double, double>> speed)
    {
        var run = Closed.Make();
        return new ToldBench { Stirring = t => speed(run)(t) > 0 }.Judge(run);
    }

    // ISO 13736: about 1 °C/min, first application 9 °C below, every 0.5 °C, 30 r/min; values from memory.
    private static Judged Abel(params int[] leftOn)
    {
        var run = (Closed with { Method = Method("iso-13736-2021"), ExpectedCelsius = 40, StartCelsius = 22, RateAt = _ => 1, FlashCelsius = 39.9, HottestCelsius = 50, PassSeconds = _ => 2.25, PerSecond = 20 }).Make();
        return new ToldBench { Stirrer = ToldBench.Stops(run, 30, leftOn) }.Judge(run);
    }

    private static Judged Silent(double seconds)
    {
        var run = Closed.Make();
        var from = run.Passes[3].Start + 5;
        var told = new ToldBench { Stirrer = ToldBench.Stops(run, 105) }.On(run.Rows);
        return run.Judge(told.Select(row => row.AtSeconds >= from && row.AtSeconds < from + seconds ? row with { Present = row.Present & ~Acquire.Core.Readings.RowChannels.Stirrer } : row));
    }

    private static Judged Standing(double seconds)
    {
        var run = Closed.Make();
        var from = run.Rows.First(row => row.TemperatureCelsius >= 34).AtSeconds;
        return new ToldBench { Stirrer = t => t >= from && t < from + seconds ? 0 : ToldBench.Stops(run, 105)(t) }.Judge(run);
    }

    private static Judged Blowing(int pass, double after, double seconds, double speed)
    {
        var run = Open.Make();
        var from = run.Passes[pass].Start + after;
        return new ToldBench { Air = t => t >= from && t < from + seconds ? speed : 0.05 }.Judge(run);
    }

    private static Judged Room(BenchTrace trace, Func<double, double> celsius)
    {
        var run = trace.Make();
        return new ToldBench { Room = celsius }.Judge(run);
    }

    private static Judged Out(int pass, double before, double after)
    {
        var run = Open.Make();
        return new ToldBench { Lit = ToldBench.OutAt(run, pass, before, after) }.Judge(run);
    }

    private static Judged OutBeforeFlash(double before)
    {
        var run = Open.Make();
        var pass = run.Passes.ToList().IndexOf(run.Flash!) - 1;
        return new ToldBench { Lit = ToldBench.OutAt(run, pass, before, 3 + Math.Max(0, 6 - before)) }.Judge(run);
    }

    private static Judged Contradicted(bool lit)
    {
        var run = Open.Make();
        return new ToldBench { Lit = t => lit || t < run.Flash!.Start - 5 || t > run.Flash.Start + 5 }.Judge(run);
    }
}
