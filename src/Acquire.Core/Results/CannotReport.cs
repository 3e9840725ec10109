using Acquire.Core.Runs;

namespace Acquire.Core.Results;

/// <summary>Says in one sentence why a closed run has no point to report.</summary>
public static class CannotReport
{
    /// <summary>The sentence; null where the point can be reported.</summary>
    /// <param name="result">The closed run.</param>
    /// <param name="plan">Its plan.</param>
    /// <param name="kind">Which point.</param>
    public static string? Why(RunResult result, RunPlan plan, PointKind kind)
    {
        ArgumentNullException.ThrowIfNull(result);
        ArgumentNullException.ThrowIfNull(plan);
        if (kind.Of(result)?.ReportedCelsius is not null)
        {
            return null;
        }

        if (plan.Scouting)
        {
            return Scouting(result, plan, kind);
        }

        if (kind == PointKind.Flash && plan.Method.Equilibrium is { Aim: Methods.EquilibriumAim.FlashNoFlash })
        {
            return result.Equilibrium?.Statement is not null
                ? $"No flash point can be reported: {plan.Method.Standard} only answers whether there is a flash at one temperature."
                : $"Neither flash nor no flash can be stated: {Invalid(result, plan, kind) ?? "no test that counts was made"}.";
        }

        if (kind == PointKind.Fire && !plan.Method.FirePoint.Determined)
        {
            return $"No fire point can be reported: {plan.Method.Standard} as planned ends with the flash point.";
        }

        var because = Invalid(result, plan, kind) ?? (kind == PointKind.Fire ? NoFire(result, plan) : "the run found none, and its findings do not say why");
        return $"No {kind.Name()} can be reported: {because}.";
    }

    private static string Scouting(RunResult result, RunPlan plan, PointKind kind) => kind == PointKind.Fire
        ? "No fire point can be reported: a scouting run ends with the flash."
        : result.Next is { } next ? $"No flash point can be reported: a scouting run only finds what to expect. Next: {next.Text}."
        : $"No flash point can be reported: a scouting run only finds what to expect, and this one did not: {Invalid(result, plan, kind) ?? $"its flash lies outside the scope of {plan.Method.Id}"}.";

    // From what makes all else meaningless to what is special: one sentence, so the first that holds.
    private static string? Invalid(RunResult result, RunPlan plan, PointKind kind)
    {
        var invalid = result.Findings.Where(finding => finding.Weight == FindingWeight.Invalid).ToArray();
        if (Find(invalid, FindingCodes.DetectorDead) is not null)
        {
            return "the detector showed nothing at all, so a flash could not have been seen";
        }

        if (Find(invalid, FindingCodes.PointNotRead) is not null)
        {
            return "the thermometer was not read at the moment of the flash, so its temperature is not known";
        }

        if (Find(invalid, FindingCodes.FlashAtFirstApplication) is { Value: { } first })
        {
            return $"the first application of the test flame, at {At(first, result, plan)}, already flashed, so the flash point lies at or below it";
        }

        if (Find(invalid, FindingCodes.FlashBelowSeries) is { Value: { } light, Limit: { } planned })
        {
            return $"the specimen flashed at {At(light, result, plan)}, far below the first application at {Text.Celsius(planned)}: something volatile is in it";
        }

        if (Find(invalid, FindingCodes.NoAnswer) is { } unanswered)
        {
            var sentence = FirstSentence(unanswered.Text);
            return sentence.StartsWith("No answer: ", StringComparison.Ordinal) ? sentence["No answer: ".Length..] : sentence;
        }

        if (Find(invalid, FindingCodes.FlashBeforeHeating) is { Value: { } cold })
        {
            return $"the specimen flashed at {At(cold, result, plan)}, before it was heated";
        }

        if (Find(invalid, FindingCodes.NoFlash) is { } none)
        {
            return none.Value is { } highest ? $"there was no flash up to {At(highest, result, plan)}" : "there was no flash, and no temperature was ever read";
        }

        if (invalid is [var reason, .. var others])
        {
            var more = others.Length == 0 ? "" : $" (and {others.Length} more)";
            return $"the run is invalid{(kind == PointKind.Fire ? " as a whole" : "")} by the finding {reason.Code}{more}: {FirstSentence(reason.Text)}";
        }

        return null;
    }

    private static string NoFire(RunResult result, RunPlan plan)
    {
        if (result.Fire is { } fire && plan.Method.FirePoint.HighestCelsius is { } highest && fire.CorrectedCelsius > highest)
        {
            return $"a fire point of {Text.Celsius(fire.CorrectedCelsius)} lies above {Text.Celsius(highest)}, up to which {plan.Method.Standard} is written";
        }

        if (Find(result.Findings, FindingCodes.PointNotRead) is not null)
        {
            return "the thermometer was not read at the moment the fire began, so its temperature is not known";
        }

        if (Find(result.Findings, FindingCodes.EndedWhileBurning) is { Value: { } burned, Limit: { } wanted })
        {
            return $"the record ends when the specimen had burned for {Text.Seconds(burned)} of the {Text.Seconds(wanted)} needed";
        }

        return Find(result.Findings, FindingCodes.NoFirePoint) is { Value: { } longest, Limit: { } needed }
            ? $"the longest burn lasted {Text.Seconds(longest)} of the {Text.Seconds(needed)} needed"
            : "the run found none, and its findings do not say why";
    }

    // What is said about a temperature is said at standard pressure too, where that differs: limits are compared there.
    private static string At(double observed, RunResult result, RunPlan plan)
    {
        var rule = plan.Method.Barometric;
        var corrected = BarometricCorrection.Correct(observed, result.StationKilopascals, rule);
        return Text.Celsius(observed) == Text.Celsius(corrected) ? Text.Celsius(observed)
            : $"{Text.Celsius(observed)} ({Text.Celsius(corrected)} at {Text.Kilopascals(rule.StandardKilopascals)})";
    }

    private static Finding? Find(IEnumerable<Finding> findings, string code) => findings.FirstOrDefault(finding => finding.Code == code);

    private static string FirstSentence(string text)
    {
        var end = text.IndexOf(". ", StringComparison.Ordinal);
        return (end < 0 ? text : text[..end]).TrimEnd('.');
    }
}
