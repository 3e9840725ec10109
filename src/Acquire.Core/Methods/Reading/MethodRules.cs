using System.Text.RegularExpressions;

namespace Acquire.Core.Methods.Reading;

/// <summary>The ranges within which a method's figures make sense.</summary>
internal static partial class MethodRules
{
    public static List<InputError> Check(MethodDefinition m)
    {
        var found = new List<InputError>();
        var errors = new MethodErrors(found, "");
        errors.Require(IdPattern().IsMatch(m.Id), "id", $"'{m.Id}' is not lower-case words of letters, digits and dots joined by hyphens, at most 60 characters, such as iso-2592-2017");
        errors.Text("title", m.Title);
        errors.Text("standard", m.Standard);
        errors.Text("use", m.Use);
        errors.Range("flashScopeCelsius", (m.FlashScopeCelsius.From, m.FlashScopeCelsius.To), -100, 500);
        Scope(errors, m.Scope);
        errors.Range("stirring.revolutionsPerMinute", m.Stirring is { RevolutionsPerMinute: var speed } ? (speed.From, speed.To) : null, 1, 2000);
        errors.Number("stirring.outsideSeconds", m.Stirring?.OutsideSeconds, 1, 600);
        Surroundings(errors.Below("surroundings"), m.Surroundings);
        Procedure(errors, m);
        UnknownFlash(errors, m);
        errors.Number("firePoint.sustainedSeconds", m.FirePoint.SustainedSeconds, 1, 60);
        errors.Number("firePoint.highestCelsius", m.FirePoint.HighestCelsius, -30, 500);
        errors.Number("barometric.coefficientCelsiusPerKilopascal", m.Barometric.CoefficientCelsiusPerKilopascal, 0, 1);
        errors.Number("barometric.standardKilopascals", m.Barometric.StandardKilopascals, 90, 110);
        errors.Range("barometric.strictKilopascals", (m.Barometric.StrictKilopascals.From, m.Barometric.StrictKilopascals.To), 40, 120);
        errors.Number("rounding.stepCelsius", m.Rounding.StepCelsius, 0.01, 10);
        PartRules.Judgement(errors.Below("judgement"), m.Judgement, m.Ramp);
        PrecisionRules.Check(errors.Below("flashPrecision"), m.FlashPrecision);
        PrecisionRules.Check(errors.Below("firePrecision"), m.FirePrecision);
        VariantRules.Check(errors, m);
        errors.Require(m.Cautions.Count > 0, "cautions", "is empty: a method that heats oil under an open flame states its cautions");
        Notes(errors, m);
        return found;
    }

    private static void Surroundings(MethodErrors errors, SurroundingsRules? rules)
    {
        if (rules is null)
        {
            return;
        }

        errors.Number("draughtMetresPerSecond", rules.DraughtMetresPerSecond, 0.05, 20);
        errors.Number("draughtSeconds", rules.DraughtSeconds, 0, 600);
        errors.Require(rules.DraughtMetresPerSecond is null == rules.DraughtSeconds is null, rules.DraughtSeconds is null ? "draughtSeconds" : "draughtMetresPerSecond", "is missing: a draught has a speed and a time, or is not judged");
        errors.Range("ambientCelsius", rules.AmbientCelsius is { } room ? (room.From, room.To) : null, -40, 80);
        errors.Number("ambientChangeCelsius", rules.AmbientChangeCelsius, 0.1, 50);
    }

    private static void Procedure(MethodErrors errors, MethodDefinition m)
    {
        var ramp = m.Procedure == ProcedureKind.Ramp;
        Present(errors, "ramp", m.Ramp, ramp, "a ramp");
        Present(errors, "applications", m.Applications, ramp, "a ramp");
        Present(errors, "equilibrium", m.Equilibrium, !ramp, "an equilibrium");
        errors.Require(ramp || m.Variants is not { Count: > 0 }, "variants", "belong to a ramp procedure; leave them out");
        PartRules.Ramp(errors.Below("ramp"), m.Ramp);
        PartRules.Applications(errors.Below("applications"), m.Applications);
        EquilibriumChecks.Check(errors.Below("equilibrium"), m.Equilibrium, m.FlashScopeCelsius);
        errors.Require(!(m.Ramp?.StartAtLeastBelowExpectedCelsius >= 0 && m.Ramp.StartAtLeastBelowExpectedCelsius < m.Applications?.FirstAtLatestBelowExpectedCelsius), "ramp.startAtLeastBelowExpectedCelsius",
            $"is below applications.firstAtLatestBelowExpectedCelsius ({m.Applications?.FirstAtLatestBelowExpectedCelsius}): a specimen could start above its first application");
    }

    private static void Present(MethodErrors errors, string key, object? part, bool wanted, string procedure)
    {
        errors.Require(!wanted || part is not null, key, $"is missing: {procedure} procedure needs it");
        errors.Require(wanted || part is null, key, $"belongs to {procedure} procedure; leave it out, or change `procedure`");
    }

    private static void Scope(MethodErrors errors, ScopeRules? scope)
    {
        errors.AtMost("scope.thinnerThan", scope?.ThinnerThan?.Count, 10);
        errors.AtMost("scope.notFor", scope?.NotFor?.Count, 50);
        for (var i = 0; i < scope?.ThinnerThan?.Count; i++)
        {
            errors.Number($"scope.{MethodErrors.Entry("thinnerThan", i)}.squareMillimetresPerSecond", scope.ThinnerThan[i].SquareMillimetresPerSecond, 0.1, 1e6);
            errors.Number($"scope.{MethodErrors.Entry("thinnerThan", i)}.atCelsius", scope.ThinnerThan[i].AtCelsius, -50, 200);
        }

        errors.Range("scope.precisionCelsius", scope?.PrecisionCelsius is { } range ? (range.From, range.To) : null, -100, 500);
        for (var i = 0; i < scope?.NotFor?.Count; i++)
        {
            errors.Text($"scope.{MethodErrors.Entry("notFor", i)}", scope.NotFor[i]);
        }
    }

    private static void UnknownFlash(MethodErrors errors, MethodDefinition m)
    {
        if (m.UnknownFlash is not { } rules)
        {
            return;
        }

        errors.Require(m.Procedure == ProcedureKind.Ramp, "unknownFlash", "belongs to a ramp procedure; leave it out");
        errors.Require((rules.StartCelsius is null) != (rules.StartAtMostCelsius is null), "unknownFlash", "holds exactly one of startCelsius and startAtMostCelsius");
        errors.Range("unknownFlash.startCelsius", rules.StartCelsius is { } start ? (start.From, start.To) : null, -60, 200);
        errors.Number("unknownFlash.startAtMostCelsius", rules.StartAtMostCelsius, -60, 200);
        errors.Number("unknownFlash.firstAtLeastAboveStartCelsius", rules.FirstAtLeastAboveStartCelsius, 0, 100);
        errors.Number("unknownFlash.intervalCelsius", rules.IntervalCelsius, 0.1, 20);
        errors.Band("unknownFlash.heatingCelsiusPerMinute", rules.HeatingCelsiusPerMinute);
        errors.Number("unknownFlash.settleCelsius", rules.SettleCelsius, 0, 50);
        errors.Require(rules.SettleCelsius is not null || m.Judgement.SettleCelsius is not null, "unknownFlash.settleCelsius", "is missing: a scouting run is heated at one rate from start to end, and it has to be said when that has settled");
    }

    private static void Notes(MethodErrors errors, MethodDefinition m)
    {
        errors.AtMost("cautions", m.Cautions.Count, 50);
        errors.AtMost("sources", m.Sources.Count, 500);
        for (var i = 0; i < m.Cautions.Count; i++)
        {
            errors.Text(MethodErrors.Entry("cautions", i), m.Cautions[i]);
        }

        for (var i = 0; i < m.Sources.Count; i++)
        {
            errors.Text($"{MethodErrors.Entry("sources", i)}.figure", m.Sources[i].Figure);
            errors.Text($"{MethodErrors.Entry("sources", i)}.citation", m.Sources[i].Citation);
        }
    }

    [GeneratedRegex("^(?=.{1,60}$)[a-z0-9.]+(-[a-z0-9.]+)*$")]
    private static partial Regex IdPattern();
}
