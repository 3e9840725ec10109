using static System.FormattableString;

namespace Acquire.Core.Methods.Advising;

/// <summary>The rules that exclude a method. Where the method file has the bound, it decides; where a rule is ours, it says so.</summary>
internal static class RulingOut
{
    /// <summary>Every rule that excludes the method; none where it may serve.</summary>
    public static IReadOnlyList<AdviceNote> Rules(MethodDefinition method, AdviceQuestion question)
    {
        AdviceNote?[] all =
        [
            FlashScope(method, question), Product(method, question), FattyAcidMethylEsters(method, question), Viscosity(method, question), Solids(method, question),
            Film(method, question), FirePoint(method, question), ClosedCupLimits(method, question), NoStandard(method, question),
        ];
        return [.. all.OfType<AdviceNote>()];
    }

    private static AdviceNote? FlashScope(MethodDefinition method, AdviceQuestion question)
    {
        if (question.ExpectedFlashCelsius is not { } expected || method.FlashScopeCelsius.Contains(expected))
        {
            return null;
        }

        var (from, to) = method.FlashScopeCelsius;
        var (word, figure) = expected < from ? ("below", "flashScopeCelsius.from") : ("above", "flashScopeCelsius.to");
        return new("flash-outside-scope", Invariant($"{expected} °C is {word} its scope, {from} to {to} °C"), Cited.Of(method, figure, "flashScopeCelsius"));
    }

    private static AdviceNote? Product(MethodDefinition method, AdviceQuestion question)
    {
        if (method.Scope?.NotFor?.FirstOrDefault(words => ProductNaming.Excludes(words, question.Product)) is { } excluding)
        {
            return new("product-excluded", $"not for {excluding}", Cited.Of(method, "scope"));
        }

        return ProductNaming.Fit(method, question.Product) == ProductFit.OthersOnly
            ? new("other-products-only", $"its use does not cover {ProductNaming.Spoken(question.Product)}: {method.Use?.TrimEnd('.')}", Cited.Of(method, "use"))
            : null;
    }

    // Procedure C is the one written for these esters: its scope, its rate and its precision hold for them alone.
    private static AdviceNote? FattyAcidMethylEsters(MethodDefinition method, AdviceQuestion question) =>
        question.Product == ProductKind.Fame && Product(method, question) is null && method.Cup == CupKind.Closed && ProductNaming.Fit(method, ProductKind.Fame) != ProductFit.Named
            ? new("fame-needs-procedure-c", "fatty acid methyl esters need procedure C, with electronic detection", "ISO 2719, clause 1, and ASTM D93, clause 1 (scope of procedure C)")
            : null;

    private static AdviceNote? Viscosity(MethodDefinition method, AdviceQuestion question) =>
        ViscosityLimits.Stand(method.Scope?.ThinnerThan, question.Viscosity) == ViscosityStanding.TooThick && question.Viscosity is { } given
            ? new("viscosity-above-limit", Invariant($"{given.SquareMillimetresPerSecond} mm²/s at {given.AtCelsius} °C is too thick: {Limits(method)}"), Cited.Of(method, "scope.thinnerThan", "scope"))
            : null;

    private static AdviceNote? Solids(MethodDefinition method, AdviceQuestion question) =>
        question.Solids && method.Scope?.SolidsAllowed == false
            ? new("solids-not-allowed", $"suspended solids are outside its scope{AskForB(method)}", Cited.Of(method, "scope.solidsAllowed", "scope"))
            : null;

    private static AdviceNote? Film(MethodDefinition method, AdviceQuestion question) =>
        question.FormsFilm && method.Scope?.FilmFormersAllowed == false
            ? new("film-not-allowed", $"liquids that form a film are outside its scope{AskForB(method)}", Cited.Of(method, "scope.filmFormersAllowed", "scope"))
            : null;

    private static AdviceNote? FirePoint(MethodDefinition method, AdviceQuestion question) =>
        question.FirePoint && !method.FirePoint.Determined
            ? new("no-fire-point", method.Cup == CupKind.Closed ? "a fire point needs an open cup" : "it does not determine a fire point", Cited.Of(method, "firePoint"))
            : null;

    private static AdviceNote? ClosedCupLimits(MethodDefinition method, AdviceQuestion question) =>
        question.Purpose == TestPurpose.HazardClass && method.Cup == CupKind.Open
            ? new("class-limits-are-closed-cup", "an open cup cannot serve class limits that are stated for closed cups", "UN GHS, chapter 2.6, and ADR, 2.2.3.1: limits of the closed-cup flash point")
            : null;

    private static AdviceNote? NoStandard(MethodDefinition method, AdviceQuestion question) =>
        Benches.HasNoStandard(method) && (question.Purpose is TestPurpose.Specification or TestPurpose.HazardClass)
            ? new("no-standard-behind-it", "no standard stands behind its figures, and a limit asks for one", $"{method.Id}: standard; the rule is common practice, no source")
            : null;

    private static string AskForB(MethodDefinition method) => method.Stirring is null ? "" : ": procedure B";

    /// <summary>The method's limits of viscosity in words.</summary>
    internal static string Limits(MethodDefinition method) =>
        "below " + string.Join(" or ", (method.Scope?.ThinnerThan ?? []).Select(limit => Invariant($"{limit.SquareMillimetresPerSecond} mm²/s at {limit.AtCelsius} °C")));
}
