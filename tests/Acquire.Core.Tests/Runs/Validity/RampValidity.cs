using Acquire.Core.Methods;
using Acquire.Core.Results;
using Acquire.Core.Tests.Traces;

namespace Acquire.Core.Tests.Runs.Validity;

/// <summary>Rules about the ramp, by the Cleveland open cup: 226 °C expected, controlled from 208 °C on.</summary>
internal static class RampValidity
{
    private static readonly BenchTrace Open = new() { PerSecond = 25, FireCelsius = null, Seed = 3 };

    public static IEnumerable<ValidityRule> Rules =>
    [
        new(FindingCodes.RateTooFast, "6.4 and 5.9 °C/min", "ISO 2592: 5 to 6 °C/min", FindingWeight.Invalid, () => At(Controlled(6.4)), () => At(Controlled(5.9))),
        new(FindingCodes.RateTooSlow, "4.6 and 5.1 °C/min", "ISO 2592: 5 to 6 °C/min", FindingWeight.Invalid, () => At(Controlled(4.6)), () => At(Controlled(5.1))),
        // 15 s, so that the mean over 30 s is outside for 24 s or less: the 30 s are common practice, no source.
        new(FindingCodes.RateTooFast, "7.3 and 6.3 °C/min for 15 s", "excursion of 30 s: common practice, no source", FindingWeight.Doubtful, () => At(Excursion(7.3)), () => At(Excursion(6.3))),
        new(FindingCodes.RateTooFast, "19 and 16.5 °C/min in fast heating", "ISO 2592:2017: 5 to 17 °C/min; value from memory", FindingWeight.Doubtful, () => Fast(19), () => Fast(16.5)),
        new(FindingCodes.StartTooWarm, "171 and 170.2 °C", "ASTM D92, 11.1.1: at least 56 °C below; half a degree granted, common practice, no source", FindingWeight.Doubtful,
            () => (Open with { StartCelsius = 171 }).Make().Judge(), () => (Open with { StartCelsius = 170.2 }).Make().Judge()),
        // Half a minute of warning means and the time to fall by 4 °C: a dip of 6 °C is told, one of 3 °C not.
        new(FindingCodes.HeatingInterrupted, "dips of 6 and 3 °C", "4 °C: common practice, no source", FindingWeight.Doubtful, () => Dip(9), () => Dip(3)) { Verdict = Verdict.Invalid, KeptVerdict = Verdict.Invalid },
        new(FindingCodes.HeatingPaused, "75 and 50 s at 165 °C", "60 s: common practice, no source", FindingWeight.Note, () => Held(165, 80), () => Held(165, 50)),
        new(FindingCodes.HeatingPaused, "75 and 50 s at 190 °C, while heat is eased", "60 s: common practice, no source", FindingWeight.Note, () => Held(190, 80), () => Held(190, 50)),
        // A pause in the controlled band is a rate too slow; 8 s are less than the window of the record can tell.
        new(FindingCodes.RateTooSlow, "held for 40 and 4 s across an application that is due", "ISO 2592: 5 to 6 °C/min", FindingWeight.Invalid, () => Held(214.6, 40), () => Held(214.6, 1.5)),
        new(FindingCodes.RateTooSlow, "one rate, 4.4 and 5.2 °C/min", "ISO 2719, procedure A: 5 to 6 °C/min", FindingWeight.Invalid, () => Closed(4.4), () => Closed(5.2)),
    ];

    private static Judged At(Func<double, double> rate) => (Open with { RateAt = rate }).Make().Judge();

    private static Func<double, double> Controlled(double rate) => celsius => celsius < 200 ? Open.RateOf(celsius) : rate;

    private static Func<double, double> Excursion(double rate) => celsius => celsius is >= 212 and < 213.8 ? rate : Open.RateOf(celsius);

    private static Judged Fast(double rate) => (Open with { StartCelsius = 110, RateAt = celsius => celsius < 168 ? rate : Open.RateOf(celsius) }).Make().Judge();

    private static Judged Dip(double celsius)
    {
        var run = Open.Make();
        var middle = run.Flash!.Onset!.Value - 70;
        return run.Judge(run.Rows.Select(row => row with { TemperatureCelsius = row.TemperatureCelsius - (celsius * Math.Max(0, 1 - (Math.Abs(row.AtSeconds - middle) / 25))) }));
    }

    // The temperature stands for a while: the readings from there on are those of the same ramp, later.
    private static Judged Held(double celsius, double seconds)
    {
        var run = (Open with { StartCelsius = 150 }).Make();
        var held = run.Rows.First(row => row.TemperatureCelsius >= celsius);
        var wait = Enumerable.Range(1, (int)(seconds * 25)).Select(i => held with { AtSeconds = held.AtSeconds + (i / 25.0), TemperatureCelsius = held.TemperatureCelsius + (i % 2 * 0.1), Detector = run.Rows[i % 200].Detector });
        return run.Judge(run.Rows.Where(row => row.AtSeconds <= held.AtSeconds).Concat(wait).Concat(run.Rows.Where(row => row.AtSeconds > held.AtSeconds).Select(row => row with { AtSeconds = row.AtSeconds + seconds })));
    }

    private static Judged Closed(double rate) => new BenchTrace
    {
        Method = MethodCatalog.TryFind("iso-2719-2016-a", out var method) ? method : throw new InvalidOperationException(),
        PerSecond = 25,
        ExpectedCelsius = 62,
        StartCelsius = 25,
        RateAt = _ => rate,
        FlashCelsius = 61.7,
        FireCelsius = null,
        HottestCelsius = 82,
    }.Make().Judge();
}
