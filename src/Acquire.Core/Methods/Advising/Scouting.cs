using static System.FormattableString;

namespace Acquire.Core.Methods.Advising;

/// <summary>How to begin where nobody knows what to expect.</summary>
internal static class Scouting
{
    /// <summary>The safe choice: a closed cup that starts cold before an open one. Null where the flash point is expected or no method says what to do.</summary>
    public static ScoutingAdvice? For(IReadOnlyList<MethodDefinition> methods, AdviceQuestion question)
    {
        if (question.ExpectedFlashCelsius is not null)
        {
            return null;
        }

        // The scouting run asks for the flash point alone and for no figure to report, so neither fire point nor purpose bind it.
        var scout = question with { FirePoint = false, Purpose = null };
        var able = methods.Where(method => method.UnknownFlash is not null && RulingOut.Rules(method, scout).Count == 0);
        var chosen = Fitness.Order(able, scout)
            .OrderBy(method => method.Cup == CupKind.Closed ? 0 : 1).ThenBy(WarmestStart).FirstOrDefault();
        return chosen?.UnknownFlash is { } rules ? new(chosen.Id, Steps(chosen, rules)) : null;
    }

    private static List<AdviceNote> Steps(MethodDefinition method, UnknownFlashRules rules)
    {
        var source = Cited.Of(method, "unknownFlash");
        var start = rules.StartCelsius is { } range ? Invariant($"at {range.From} to {range.To} °C") : Invariant($"at {rules.StartAtMostCelsius} °C or below");
        var rate = rules.HeatingCelsiusPerMinute is { } band ? Invariant($", heat at {band.From} to {band.To} °C/min") : "";
        var interval = rules.IntervalCelsius is { } every ? Invariant($", then every {every} °C") : ", then as in any run";
        return
        [
            new("treat-as-flammable", "until it is known, handle the specimen as one that flashes at room temperature", Cited.CommonPractice),
            new("flame-before-heating", "apply the flame once before heating; after a flash do not heat: go to a bath-heated closed cup, cooled", Cited.CommonPractice),
            new("scouting-start", $"start {start}{rate}", source),
            new("scouting-first", Invariant($"first application at least {rules.FirstAtLeastAboveStartCelsius} °C above the start{interval}"), source),
            new("scouting-result", "its result is approximate: enter it as expected flash point, ask again, and take a fresh test portion", source),
        ];
    }

    private static double WarmestStart(MethodDefinition method) => method.UnknownFlash?.StartCelsius?.To ?? method.UnknownFlash?.StartAtMostCelsius ?? double.MaxValue;
}
