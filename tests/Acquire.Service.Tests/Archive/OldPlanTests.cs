using Acquire.Core.Methods;
using Acquire.Core.Runs;
using Acquire.Service.Archive;
using Xunit;

namespace Acquire.Service.Tests.Archive;

/// <summary>A plan as it was stored before methods had more than one kind of cup, ramp and procedure.</summary>
public sealed class OldPlanTests
{
    private const string Stored = """
        {"method":{"id":"astm-d92-18",
        "title":"Cleveland open cup, flash and fire point (ASTM D92-18)",
        "standard":"ASTM D92-18",
        "apparatus":{"cup":"Cleveland open cup, heated directly from below","fill":"about 70 mL, top of the meniscus at the filling mark (9 to 10 mm below the rim)","testFlame":"3.2 to 4.8 mm across; one straight or curved sweep through the centre of the cup, flame centre at most 2 mm above the rim plane, direction changed each time, about 1 s a pass"},
        "flashScopeCelsius":{"from":79,"to":400},
        "ramp":{"startAtLeastBelowExpectedCelsius":56,"fastHeatingCelsiusPerMinute":{"from":5,"to":17},"easeBelowExpectedCelsius":56,"controlledHeatingCelsiusPerMinute":{"from":5,"to":6},"controlledFromBelowExpectedCelsius":28},
        "applications":{"firstBelowExpectedCelsius":28,"firstAtLatestBelowExpectedCelsius":28,"intervalCelsius":2,"passSeconds":1,"longestPassSeconds":2},
        "firePoint":{"determined":true,"sustainedSeconds":5},
        "barometric":{"coefficientCelsiusPerKilopascal":0.25,"standardKilopascals":101.3,"strictKilopascals":{"from":98,"to":104.7}},
        "rounding":{"stepCelsius":1,"ties":"half-to-even"},
        "flashPrecision":{"repeatabilityCelsius":8,"reproducibilityCelsius":18},
        "firePrecision":{"repeatabilityCelsius":8,"reproducibilityCelsius":14},
        "judgement":{"rateToleranceCelsiusPerMinute":0.1,"rateExcursionSeconds":30,"grossRateExcessCelsiusPerMinute":1,"intervalToleranceCelsius":0.6,"gapSeconds":3},
        "cautions":["Open flame over hot oil: work behind a screen or shield, with a lid at hand to smother the cup and no other fuel near.","Vapour and smoke can be harmful: use the extraction that the method allows, with the air over the cup still.","Never leave a heated cup alone. This program watches and records; it is not a safety device and replaces none.","The text of the standard, the local fire code and the judgement of a trained analyst rule over this program."],
        "sources":[{"figure":"flashScopeCelsius","citation":"ASTM D92-18, clause 1 (scope)","fromMemory":false},
        {"figure":"apparatus","citation":"ASTM D92, clauses 6 and 11; AASHTO T 48-17, 7.2 (fill)","fromMemory":false},
        {"figure":"ramp.startAtLeastBelowExpectedCelsius","citation":"ASTM D92, 11.1.1 and 11.1.2","fromMemory":false},
        {"figure":"ramp.fastHeatingCelsiusPerMinute","citation":"5 to 17 in recent editions, 14 to 17 in older ones; which edition changed is","fromMemory":true},
        {"figure":"ramp.easeBelowExpectedCelsius","citation":"ASTM D92; GB/T 1671-2008, clause 7 (same procedure)","fromMemory":false},
        {"figure":"ramp.controlledHeatingCelsiusPerMinute","citation":"ASTM D92; GB/T 1671-2008, clause 7: 5 to 6 over the last 28 °C","fromMemory":false},
        {"figure":"applications","citation":"ASTM D92; GB/T 1671-2008, clause 7: first 28 °C below, every 2 °C, about 1 s","fromMemory":false},
        {"figure":"applications.longestPassSeconds","citation":"twice the nominal pass; common practice, no source","fromMemory":false},
        {"figure":"firePoint","citation":"ASTM D92, clause 4: burns for at least 5 s","fromMemory":false},
        {"figure":"barometric","citation":"ASTM D92, clause 13: 0.25 °C/kPa from 101.3 kPa; use for the fire point","fromMemory":true},
        {"figure":"barometric.strictKilopascals","citation":"ISO 13736 and ISO 2592, note on the correction: 98.0 to 104.7 kPa","fromMemory":false},
        {"figure":"rounding","citation":"nearest 1 °C","fromMemory":true},
        {"figure":"rounding.ties","citation":"the standard says nearest only; ISO 80000-1, annex B, rule A","fromMemory":false},
        {"figure":"flashPrecision","citation":"ASTM D92: r 8 °C, R 18 °C","fromMemory":true},
        {"figure":"firePrecision","citation":"ASTM D92: r 8 °C, R 14 °C","fromMemory":true},
        {"figure":"judgement","citation":"limits for judging a record automatically, chosen by this project; no source","fromMemory":false}]},
        "expectedFlashCelsius":220,"stationPressureKilopascals":98.7,"hasFlameSignal":true,
        "thermometer":{"unit":"uV","sensor":{"kind":"thermocouple","type":"K","referenceJunction":"measured","junctionCelsius":null},"calibration":{"number":"C-114","calibratedOn":"2026-03-02","dueOn":"2026-12-02","warnDays":30,"coverageFactor":2,"interpolation":"linear","points":[{"readingCelsius":100,"correctionCelsius":0.1,"expandedUncertaintyCelsius":0.3},{"readingCelsius":300,"correctionCelsius":0.2,"expandedUncertaintyCelsius":0.4}]},"lag":{"timeConstantSeconds":8,"correct":false},"limits":{"coldestCelsius":5,"hottestCelsius":450,"converterLow":null,"converterHigh":null,"stuckAfterSeconds":60,"staleAfterSeconds":5}},"madeOn":"2026-11-25"}
        """;

    [Fact]
    public void It_is_read_as_the_open_cup_with_two_rates_that_it_was()
    {
        var plan = ArchiveJson.Read<RunPlan>(Stored, "old", "plan");
        var method = plan.Method;

        Assert.Equal((CupKind.Open, HeatingKind.Direct, ProcedureKind.Ramp), (method.Cup, method.Heating, method.Procedure));
        Assert.Equal(new RateBand(5, 17), method.Ramp!.FastHeatingCelsiusPerMinute);
        Assert.Equal((56.0, 28.0), (method.Ramp.EaseBelowExpectedCelsius, method.Ramp.ControlledFromBelowExpectedCelsius));
        Assert.Equal((8.0, 18.0), (method.FlashPrecision!.RepeatabilityAt(220), method.FlashPrecision.ReproducibilityAt(220)));
        Assert.Null(method.Variants);
        Assert.Null(method.Stirring);
        Assert.Null(method.Judgement.SettleCelsius);
        Assert.Same(method, plan.Rules.Method);
        Assert.Equal(192, plan.FirstApplicationCelsius);
        Assert.Equal(164, plan.Rules.SeriesFromCelsius);
    }

    [Fact]
    public void It_is_the_method_of_today_with_nothing_lost()
    {
        var plan = ArchiveJson.Read<RunPlan>(Stored, "old", "plan");
        var again = ArchiveJson.Read<RunPlan>(ArchiveJson.Write(plan), "old", "plan");

        Assert.Equivalent(plan, again, strict: true);
        Assert.Equal((16, 4, 5), (plan.Method.Sources.Count, plan.Method.Cautions.Count, plan.Method.Sources.Count(source => source.FromMemory)));
    }
}
