namespace Acquire.Core.Methods.Advising;

/// <summary>Which cup and heating suit which flash points.</summary>
internal static class Benches
{
    /// <summary>An expected flash point up to this is low, °C: the open cup of ISO 2592 begins here (clause 1). The line itself is ours; common practice, no source.</summary>
    public const double LowUpToCelsius = 79;

    /// <summary>Whether the expected flash point is low; an unknown one may be.</summary>
    public static bool MayBeLow(AdviceQuestion question) => !(question.ExpectedFlashCelsius > LowUpToCelsius);

    /// <summary>How well cup and heating suit the expected flash point; the better the smaller.</summary>
    public static int HeatingRank(MethodDefinition method, AdviceQuestion question)
    {
        if (question.ExpectedFlashCelsius is null)
        {
            return method.Cup == CupKind.Closed ? 0 : 1;
        }

        return MayBeLow(question)
            ? (method.Cup == CupKind.Open ? 2 : 0) + (method.Heating == HeatingKind.Direct ? 1 : 0)
            : method.Heating == HeatingKind.Direct ? 0 : 1;
    }

    /// <summary>Whether the open cup is the usual one: above the low flash points, for products that keep no volatile part.</summary>
    public static bool PrefersOpenCup(AdviceQuestion question) =>
        !MayBeLow(question) && !question.VolatileContamination && (question.Product is ProductKind.LubricantNew or ProductKind.Bitumen);

    /// <summary>Whether the method rests on no standard.</summary>
    public static bool HasNoStandard(MethodDefinition method) => method.Standard.Contains("no standard", StringComparison.OrdinalIgnoreCase);

    /// <summary>Whether the method's use names teaching.</summary>
    public static bool IsForTeaching(MethodDefinition method) => method.Use?.Contains("teaching", StringComparison.OrdinalIgnoreCase) == true;
}
