using System.Globalization;

namespace Acquire.Core.Results;

/// <summary>The line of a budget for the scatter of repeated determinations.</summary>
internal static class ScatterPart
{
    /// <summary>A repeatability limit is this many standard deviations: 1.96 √2, two digits after the point as the standards write it.</summary>
    public const double LimitPerDeviation = 2.77;

    // ISO 4259: precision rests on at least 30 degrees of freedom; value from memory.
    private const double MethodDegreesOfFreedom = 30;

    private const string Name = "repeatability";

    public static void Add(BudgetDraft draft)
    {
        if (draft.Figures.Repeatability is { } own)
        {
            draft.Line(Contribution.Standard(Name, own.StandardDeviationCelsius, "°C",
                string.Create(CultureInfo.InvariantCulture, $"Standard deviation of {own.Results} determinations by the laboratory itself."))
                with { DegreesOfFreedom = own.Results - 1 });
        }
        else if (draft.MethodRepeatabilityCelsius is { } limit)
        {
            draft.Line(Contribution.Standard(Name, limit / LimitPerDeviation, "°C",
                string.Create(CultureInfo.InvariantCulture, $"Repeatability limit of {draft.Plan.Method.Standard}, {limit:0.##} °C, divided by {LimitPerDeviation:0.00}; not this laboratory's own scatter."))
                with { DegreesOfFreedom = MethodDegreesOfFreedom });
        }
        else if (draft.Figures.TakeMethodRepeatability && draft.PrecisionElsewhere is { } range)
        {
            draft.Missing(Name, string.Create(CultureInfo.InvariantCulture,
                $"{draft.Plan.Method.Standard} states its repeatability for flash points of {range.From:0.#} to {range.To:0.#} °C only: how repeated determinations scatter is missing, and that is often the largest part."));
        }
        else if (draft.Figures.TakeMethodRepeatability)
        {
            draft.Missing(Name, $"{draft.Plan.Method.Standard} states no repeatability at this {draft.Kind.Name()}: how repeated determinations scatter is missing, and that is often the largest part.");
        }
        else
        {
            draft.Missing(Name, "Neither the laboratory's own repeatability nor the method's was taken: how repeated determinations scatter is missing, and that is often the largest part.");
        }
    }
}
