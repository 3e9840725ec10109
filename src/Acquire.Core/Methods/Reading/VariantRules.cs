namespace Acquire.Core.Methods.Reading;

/// <summary>What a method's variants may hold, and that no two of them hold for the same expected flash point.</summary>
internal static class VariantRules
{
    private const int MostVariants = 20;

    public static void Check(MethodErrors errors, MethodDefinition method)
    {
        errors.AtMost("variants", method.Variants?.Count, MostVariants);
        for (var i = 0; i < Math.Min(method.Variants?.Count ?? 0, MostVariants); i++)
        {
            var variant = method.Variants![i];
            One(errors.Below(MethodErrors.Entry("variants", i)), method, variant);
            for (var before = 0; before < i; before++)
            {
                errors.Require(!variant.Overlaps(method.Variants[before]), MethodErrors.Entry("variants", i), $"holds for some expected flash points for which {MethodErrors.Entry("variants", before)} holds too");
            }
        }
    }

    private static void One(MethodErrors errors, MethodDefinition method, MethodVariant variant)
    {
        Bound(errors, "expectedFromCelsius", variant.ExpectedFromCelsius, "expectedAboveCelsius", variant.ExpectedAboveCelsius);
        Bound(errors, "expectedUpToCelsius", variant.ExpectedUpToCelsius, "expectedBelowCelsius", variant.ExpectedBelowCelsius);
        var from = variant.ExpectedFromCelsius ?? variant.ExpectedAboveCelsius;
        var to = variant.ExpectedUpToCelsius ?? variant.ExpectedBelowCelsius;
        errors.Require(from is not null || to is not null, "expectedFromCelsius", "and the other ends are missing: a variant holds for a part of the scope");
        errors.Require(!(from >= to), "expectedFromCelsius", "lies not below the upper end");
        errors.Require(variant is not { Ramp: null, Applications: null, FlashPrecision: null, Judgement: null }, "ramp", "and applications, flashPrecision and judgement are missing: the variant changes nothing");
        PartRules.Ramp(errors.Below("ramp"), variant.Ramp);
        PartRules.Applications(errors.Below("applications"), variant.Applications);
        PartRules.Judgement(errors.Below("judgement"), variant.Judgement, variant.Ramp ?? method.Ramp);
        PrecisionRules.Check(errors.Below("flashPrecision"), variant.FlashPrecision);
        errors.Require(variant.Ramp is not { IsConstant: true } || (variant.Judgement ?? method.Judgement).SettleCelsius is not null, "ramp",
            "has one rate from start to end, and nothing says when it has settled: give judgement.settleCelsius");
    }

    private static void Bound(MethodErrors errors, string key, double? value, string other, double? otherValue)
    {
        errors.Number(key, value, -100, 500);
        errors.Number(other, otherValue, -100, 500);
        errors.Require(value is null || otherValue is null, key, $"stands beside {other}; give one of them");
    }
}
