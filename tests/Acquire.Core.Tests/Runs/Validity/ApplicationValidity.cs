using Acquire.Core.Methods;
using Acquire.Core.Results;
using Acquire.Core.Tests.Traces;

namespace Acquire.Core.Tests.Runs.Validity;

/// <summary>Rules about the test flame: Cleveland open cup, first application at 203 °C, then every 2 °C; Pensky-Martens, first at 39 °C, then every degree.</summary>
internal static class ApplicationValidity
{
    private const string Interval = "ISO 2592: every 2 °C; tolerance 0.6 °C: common practice, no source";

    private static readonly BenchTrace Open = new() { PerSecond = 25, FireCelsius = null, Seed = 7 };

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
    };

    public static IEnumerable<ValidityRule> Rules =>
    [
        new(FindingCodes.FirstApplicationLate, "17 and 18 °C below", "ISO 2592: first (23 ± 5) °C below; value from memory", FindingWeight.Doubtful,
            () => Judge(Open with { FirstApplicationCelsius = 226 - 17 }), () => Judge(Open with { FirstApplicationCelsius = 226 - 18 })),
        new(FindingCodes.FirstApplicationLate, "17.2 and 18.2 °C below, Pensky-Martens", "ASTM D93, 11.1.5: (23 ± 5) °C below", FindingWeight.Doubtful,
            () => Judge(Closed with { FirstApplicationCelsius = 62 - 17.2, FlashCelsius = 63.5 }), () => Judge(Closed with { FirstApplicationCelsius = 62 - 18.2, FlashCelsius = 62.5 })),
        new(FindingCodes.ApplicationEarly, "0.9 and 0.4 °C too soon", Interval, FindingWeight.Note, () => Judge(Late(-0.9)), () => Judge(Late(-0.4))),
        new(FindingCodes.ApplicationLate, "1.0 and 0.4 °C too late", Interval, FindingWeight.Doubtful, () => Judge(Late(1.0)), () => Judge(Late(0.4))),
        new(FindingCodes.ApplicationMissed, "one left out, and one 1.2 °C too late", "1.75 intervals: common practice, no source", FindingWeight.Doubtful,
            () => Judge(Open with { LeftOut = [4] }), () => Judge(Late(1.2))) { KeptVerdict = Verdict.Doubtful },
        // Applications at 203, 205, ... °C; the one at 225 °C is left out and the one at 227 °C flashes.
        new(FindingCodes.ApplicationMissed, "the one before the flash left out, and none", "1.75 intervals: common practice, no source", FindingWeight.Invalid,
            () => Judge(Open with { LeftOut = [11] }), () => Judge(Open)),
        new(FindingCodes.ApplicationTooLong, "2.6 and 1.9 s", "twice the nominal pass; common practice, no source", FindingWeight.Doubtful, () => Judge(Pass(Open, 2.6)), () => Judge(Pass(Open, 1.9))),
        new(FindingCodes.ApplicationTooShort, "0.4 and 0.55 s, Pensky-Martens", "half the nominal pass; common practice, no source", FindingWeight.Doubtful, () => Judge(Pass(Closed, 0.4)), () => Judge(Pass(Closed, 0.55))),
        new(FindingCodes.ApplicationUnconfirmed, "no flame signal and passes that do not show, and passes that do", "common practice, no source", FindingWeight.Note,
            () => Judge(Open with { HasFlame = false, PassHeight = 0, HaloHeight = 0 }), () => Judge(Open with { HasFlame = false, PassHeight = 12 })),
        new(FindingCodes.FlashAtFirstApplication, "203 and 205 °C", "ASTM D92, 11.1.9: begin again with a fresh specimen; value from memory", FindingWeight.Invalid,
            () => Judge(Open with { FlashCelsius = 202 }), () => Judge(Open with { FlashCelsius = 204.5 })),
        new(FindingCodes.FlashOutsideWindow, "17 and 18 °C above the first", "ISO 2719: 18 to 28 °C above the first application; value from memory", FindingWeight.Doubtful,
            () => Judge(Closed with { FlashCelsius = 55.8 }), () => Judge(Closed with { FlashCelsius = 57.1 })),
        new(FindingCodes.FlashOutsideWindow, "29 and 27 °C above the first", "ISO 2719: 18 to 28 °C above the first application; value from memory", FindingWeight.Doubtful,
            () => Judge(Closed with { FlashCelsius = 67.6 }), () => Judge(Closed with { FlashCelsius = 65.6 })),
    ];

    private static Judged Judge(BenchTrace trace) => trace.Make().Judge();

    private static BenchTrace Late(double celsius) => Open with { LateBy = number => number == 4 ? celsius : 0 };

    private static BenchTrace Pass(BenchTrace trace, double seconds) => trace with { PassSeconds = number => number == 3 ? seconds : 1 };
}
