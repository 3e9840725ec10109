namespace Acquire.Core.Methods.Advising;

/// <summary>The order of the methods that may serve: the first difference in this list decides. The order is ours; common practice, no source.</summary>
internal static class Fitness
{
    /// <summary>Orders methods, the fittest first; what no question parts stays in the order given.</summary>
    public static IEnumerable<MethodDefinition> Order(IEnumerable<MethodDefinition> methods, AdviceQuestion question) =>
        methods.OrderBy(method => StandardRank(method, question))
            .ThenBy(method => method.Procedure == ProcedureKind.Ramp ? 0 : 1)
            .ThenBy(method => ProductNaming.Fit(method, question.Product))
            .ThenBy(method => Benches.HeatingRank(method, question))
            .ThenBy(method => CupRank(method, question))
            .ThenBy(method => ParticlesRank(method, question))
            .ThenBy(method => ScoutingRank(method, question))
            .ThenBy(method => question.ExpectedFlashCelsius is { } expected && !Conditions.StatesPrecision(method, expected, question.Product) ? 1 : 0)
            .ThenBy(method => ViscosityLimits.Stand(method.Scope?.ThinnerThan, question.Viscosity) == ViscosityStanding.Open ? 1 : 0);

    private static int StandardRank(MethodDefinition method, AdviceQuestion question) =>
        question.Purpose == TestPurpose.Teaching && Benches.IsForTeaching(method) ? 0
        : Benches.HasNoStandard(method) ? 2
        : 1;

    private static int CupRank(MethodDefinition method, AdviceQuestion question) =>
        method.Cup == (Benches.PrefersOpenCup(question) ? CupKind.Open : CupKind.Closed) ? 0 : 1;

    // What is made for solids stirs faster and heats slower: without solids or film it is the second choice.
    private static int ParticlesRank(MethodDefinition method, AdviceQuestion question) =>
        question.Solids || question.FormsFilm
            ? (method.Scope?.SolidsAllowed == true || method.Scope?.FilmFormersAllowed == true ? 0 : 1)
            : (method.Scope?.SolidsAllowed == true ? 1 : 0);

    private static int ScoutingRank(MethodDefinition method, AdviceQuestion question) =>
        question.ExpectedFlashCelsius is not null || method.UnknownFlash is not null ? 0 : 1;
}
