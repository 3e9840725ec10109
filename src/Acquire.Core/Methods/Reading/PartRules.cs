namespace Acquire.Core.Methods.Reading;

/// <summary>The ranges of the parts that a variant may replace.</summary>
internal static class PartRules
{
    public static void Ramp(MethodErrors errors, RampRules? ramp)
    {
        if (ramp is null)
        {
            return;
        }

        errors.Number("startAtLeastBelowExpectedCelsius", ramp.StartAtLeastBelowExpectedCelsius, 0, 200);
        errors.Band("fastHeatingCelsiusPerMinute", ramp.FastHeatingCelsiusPerMinute);
        errors.Number("easeBelowExpectedCelsius", ramp.EaseBelowExpectedCelsius, 0, 200);
        errors.Band("controlledHeatingCelsiusPerMinute", ramp.ControlledHeatingCelsiusPerMinute);
        errors.Number("controlledFromBelowExpectedCelsius", ramp.ControlledFromBelowExpectedCelsius, 0, 200);
        Together(errors, "easeBelowExpectedCelsius", ramp.EaseBelowExpectedCelsius, !ramp.IsConstant);
        Together(errors, "controlledFromBelowExpectedCelsius", ramp.ControlledFromBelowExpectedCelsius, !ramp.IsConstant);
        errors.Require(!(ramp.EaseBelowExpectedCelsius < ramp.ControlledFromBelowExpectedCelsius), "easeBelowExpectedCelsius",
            "is below controlledFromBelowExpectedCelsius: heat must be eased before the controlled band has to hold");
    }

    private static void Together(MethodErrors errors, string key, double? value, bool fast)
    {
        errors.Require(!fast || value is not null, key, "is missing: with fastHeatingCelsiusPerMinute it has to be said where that ends");
        errors.Require(fast || value is null, key, "belongs to fast heating: give fastHeatingCelsiusPerMinute too, or leave it out");
    }

    public static void Applications(MethodErrors errors, ApplicationRules? rules)
    {
        if (rules is null)
        {
            return;
        }

        errors.Number("firstBelowExpectedCelsius", rules.FirstBelowExpectedCelsius, 0, 200);
        errors.Number("firstAtLatestBelowExpectedCelsius", rules.FirstAtLatestBelowExpectedCelsius, 0, 200);
        errors.Number("firstAtEarliestBelowExpectedCelsius", rules.FirstAtEarliestBelowExpectedCelsius, rules.FirstBelowExpectedCelsius, 400);
        errors.Number("intervalCelsius", rules.IntervalCelsius, 0.1, 20);
        errors.Number("passSeconds", rules.PassSeconds, 0.1, 10);
        errors.Number("shortestPassSeconds", rules.ShortestPassSeconds, 0.1, rules.PassSeconds);
        errors.Number("longestPassSeconds", rules.LongestPassSeconds, rules.PassSeconds, 20);
        errors.Range("flashWindowAboveFirstCelsius", rules.FlashWindowAboveFirstCelsius is { } window ? (window.From, window.To) : null, 0, 200);
        errors.Require(rules.FirstBelowExpectedCelsius >= rules.FirstAtLatestBelowExpectedCelsius, "firstBelowExpectedCelsius",
            "schedules the first application later than firstAtLatestBelowExpectedCelsius allows");
    }

    public static void Judgement(MethodErrors errors, JudgementRules? rules, RampRules? ramp)
    {
        if (rules is null)
        {
            return;
        }

        errors.Number("rateToleranceCelsiusPerMinute", rules.RateToleranceCelsiusPerMinute, 0, 5);
        errors.Number("rateExcursionSeconds", rules.RateExcursionSeconds, 0, 600);
        errors.Number("grossRateExcessCelsiusPerMinute", rules.GrossRateExcessCelsiusPerMinute, 0, 20);
        errors.Number("intervalToleranceCelsius", rules.IntervalToleranceCelsius, 0, 5);
        errors.Number("gapSeconds", rules.GapSeconds, 0.5, 60);
        errors.Number("pauseSeconds", rules.PauseSeconds, 1, 3600);
        errors.Require(rules.PauseSeconds is null || ramp is not { IsConstant: true }, "pauseSeconds", "belongs to fast heating: where one rate holds from start to end, its band tells of a pause; leave it out");
        errors.Number("settleCelsius", rules.SettleCelsius, 0, 50);
        errors.Require(ramp is not { IsConstant: true } || rules.SettleCelsius is not null, "settleCelsius", "is missing: where one rate holds from start to end it has to be said when it has settled");
    }
}
