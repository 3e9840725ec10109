using static System.FormattableString;

namespace Acquire.Core.Methods.Advising;

/// <summary>What must be true or be looked at before a method is taken that no rule excludes.</summary>
internal static class Conditions
{
    /// <summary>The conditions; often none.</summary>
    public static IReadOnlyList<AdviceNote> Of(MethodDefinition method, AdviceQuestion question) =>
    [
        .. Specimen(method, question).OfType<AdviceNote>(),
        .. (method.Scope?.NotFor ?? []).Where(words => ProductNaming.IsOpen(words, question.Product)).Select(words => new AdviceNote("not-for", $"not for {words}", Cited.Of(method, "scope"))),
        .. Run(method, question).OfType<AdviceNote>(),
    ];

    private static IEnumerable<AdviceNote?> Specimen(MethodDefinition method, AdviceQuestion question)
    {
        yield return ViscosityLimits.Stand(method.Scope?.ThinnerThan, question.Viscosity) == ViscosityStanding.Open
            ? new("viscosity-open", $"only where its viscosity is {RulingOut.Limits(method)}: measure it there", Cited.Of(method, "scope.thinnerThan", "scope"))
            : null;
        yield return (question.Solids && method.Scope?.SolidsAllowed is null) || (question.FormsFilm && method.Scope?.FilmFormersAllowed is null)
            ? new("solids-or-film-unsaid", "its file does not say whether solids or a film are allowed: read the text", Cited.Of(method, "scope"))
            : null;
        yield return !question.Solids && !question.FormsFilm && method.Scope is { SolidsAllowed: false, ThinnerThan: null } && question.Product != ProductKind.Fame
            ? new("homogeneous-only", "only for a homogeneous liquid; with solids, a film, or too thick to stir: procedure B", Cited.Of(method, "scope"))
            : null;
        yield return !question.Solids && !question.FormsFilm && method.Scope?.SolidsAllowed == true && ProductNaming.Fit(method, question.Product) != ProductFit.Named
            ? new("for-solids-or-film", "meant for solids, a film, or what is too thick for procedure A", Cited.Of(method, "use"))
            : null;
    }

    private static IEnumerable<AdviceNote?> Run(MethodDefinition method, AdviceQuestion question)
    {
        yield return method.Cup == CupKind.Open && Benches.MayBeLow(question)
            ? new("open-cup-for-high-only", "an open cup suits high flash points only", Cited.CommonPractice)
            : null;
        yield return method.Cup == CupKind.Open && question.VolatileContamination
            ? new("open-cup-loses-vapour", "an open cup can lose the vapour of something volatile and show nothing of it", Cited.CommonPractice)
            : null;
        yield return question.Product == ProductKind.Fame && ProductNaming.Fit(method, ProductKind.Fame) == ProductFit.Named && method.Procedure == ProcedureKind.Ramp
            ? new("electronic-detection", "the flash is to be detected electronically, not by eye", "ISO 2719, clause 1, and ASTM D93, clause 1 (scope of procedure C)")
            : null;
        yield return question.ExpectedFlashCelsius is { } expected && !StatesPrecision(method, expected, question.Product)
            ? new("no-precision-there", Invariant($"it states no precision at {expected} °C for this product"), Cited.Of(method, "flashPrecision"))
            : null;
        yield return method.Equilibrium?.Aim == EquilibriumAim.FlashNoFlash
            ? new("answers-one-temperature", "it only answers whether the specimen flashes at one temperature", Cited.Of(method, "equilibrium.aim", "equilibrium"))
            : null;
        yield return question.ExpectedFlashCelsius is null && method.UnknownFlash is null
            ? new("no-scouting-rules", "its file says nothing about an unknown flash point: scout by another method first", Cited.Of(method, "unknownFlash"))
            : null;
    }

    /// <summary>Whether the method states a repeatability at the expected flash point.</summary>
    internal static bool StatesPrecision(MethodDefinition method, double expectedFlashCelsius, ProductKind product) =>
        method.Scope?.PrecisionCelsius?.Contains(expectedFlashCelsius) != false
        && method.For(expectedFlashCelsius).FlashPrecision?.RepeatabilityAt(expectedFlashCelsius, ProductNaming.Material(product)) is not null;
}
