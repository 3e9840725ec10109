using static System.FormattableString;

namespace Acquire.Core.Methods.Advising;

/// <summary>What speaks for a method that no rule excludes.</summary>
internal static class Speaking
{
    /// <summary>The reasons; at least one.</summary>
    public static IReadOnlyList<AdviceNote> For(MethodDefinition method, AdviceQuestion question)
    {
        AdviceNote?[] all =
        [
            Product(method, question), FlashScope(method, question), Heating(method, question), Cup(method, question),
            Solids(method, question), Viscosity(method, question), FirePoint(method, question), Teaching(method, question),
        ];
        return [.. all.OfType<AdviceNote>()];
    }

    private static AdviceNote Product(MethodDefinition method, AdviceQuestion question) => ProductNaming.Fit(method, question.Product) switch
    {
        ProductFit.Named => new("product-named", $"its use names it: {ProductNaming.Quote(method, question.Product)}", Cited.Of(method, "use")),
        ProductFit.Covered => new("product-covered", $"its use covers it in general words: {ProductNaming.Quote(method, question.Product)}", Cited.Of(method, "use")),
        _ => new("product-unsaid", "its use names no product", Cited.Of(method, "use")),
    };

    private static AdviceNote? FlashScope(MethodDefinition method, AdviceQuestion question) =>
        question.ExpectedFlashCelsius is { } expected
            ? new("flash-in-scope", Invariant($"{expected} °C is within its {method.FlashScopeCelsius.From} to {method.FlashScopeCelsius.To} °C"), Cited.Of(method, "flashScopeCelsius", "flashScopeCelsius.to"))
            : null;

    private static AdviceNote? Heating(MethodDefinition method, AdviceQuestion question)
    {
        if (question.ExpectedFlashCelsius is null)
        {
            return null;
        }

        return (Benches.MayBeLow(question), method.Cup, method.Heating) switch
        {
            (true, CupKind.Closed, HeatingKind.Bath) => new("bath-suits-low", "a bath-heated closed cup suits a low flash point", Cited.CommonPractice),
            (false, _, HeatingKind.Direct) => new("direct-suits-high", "direct heat suits a high flash point", Cited.CommonPractice),
            _ => null,
        };
    }

    private static AdviceNote? Cup(MethodDefinition method, AdviceQuestion question) => (method.Cup, question) switch
    {
        (CupKind.Closed, { Purpose: TestPurpose.HazardClass }) => new("closed-cup-for-class", "class limits are stated for closed cups", "UN GHS, chapter 2.6, and ADR, 2.2.3.1"),
        (CupKind.Closed, { VolatileContamination: true }) => new("closed-cup-keeps-vapour", "a closed cup keeps the vapour of something volatile", Cited.CommonPractice),
        (CupKind.Open, _) when Benches.PrefersOpenCup(question) => new("open-cup-usual", $"the open cup is usual for {ProductNaming.Spoken(question.Product)}", Cited.CommonPractice),
        _ => null,
    };

    private static AdviceNote? Solids(MethodDefinition method, AdviceQuestion question) =>
        (question.Solids && method.Scope?.SolidsAllowed == true) || (question.FormsFilm && method.Scope?.FilmFormersAllowed == true)
            ? new("solids-or-film-allowed", "its scope allows what the specimen carries or forms", Cited.Of(method, "scope"))
            : null;

    private static AdviceNote? Viscosity(MethodDefinition method, AdviceQuestion question) =>
        ViscosityLimits.Stand(method.Scope?.ThinnerThan, question.Viscosity) == ViscosityStanding.ThinEnough
            ? new("viscosity-within-limit", $"thin enough: {RulingOut.Limits(method)}", Cited.Of(method, "scope.thinnerThan", "scope"))
            : null;

    private static AdviceNote? FirePoint(MethodDefinition method, AdviceQuestion question) =>
        question.FirePoint && method.FirePoint.Determined ? new("fire-point", "it determines the fire point in the same run", Cited.Of(method, "firePoint")) : null;

    private static AdviceNote? Teaching(MethodDefinition method, AdviceQuestion question) =>
        question.Purpose == TestPurpose.Teaching && Benches.IsForTeaching(method) ? new("for-teaching", "its use names teaching", Cited.Of(method, "use")) : null;
}
