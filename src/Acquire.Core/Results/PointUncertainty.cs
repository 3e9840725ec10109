using System.Globalization;

namespace Acquire.Core.Results;

/// <summary>Why something is not in a budget.</summary>
public enum LeftOutReason
{
    /// <summary>Nobody stated the figure.</summary>
    NotStated,

    /// <summary>Another line already holds it.</summary>
    AlreadyCounted,
}

/// <summary>Something that belongs in a budget and is not a line of it.</summary>
/// <param name="Name">What, in the words a line would have.</param>
/// <param name="Reason">Why, for a program.</param>
/// <param name="Text">Why, in one sentence.</param>
public sealed record LeftOut(string Name, LeftOutReason Reason, string Text);

/// <summary>The uncertainty of one determined point: the budget, and what it does not hold.</summary>
/// <param name="Kind">Which point.</param>
/// <param name="Point">Its figures; reported.</param>
/// <param name="Budget">The table.</param>
/// <param name="LeftOut">What is not in it; empty where everything is.</param>
/// <param name="Remarks">Sentences that a reader of the table must know.</param>
public sealed record PointUncertainty(
    PointKind Kind,
    DeterminedPoint Point,
    UncertaintyBudget Budget,
    IReadOnlyList<LeftOut> LeftOut,
    IReadOnlyList<string> Remarks)
{
    /// <summary>The result with its expanded uncertainty in one sentence (JCGM 100:2008, 7.2.3).</summary>
    public string Statement
    {
        get
        {
            var degrees = Budget.EffectiveDegreesOfFreedom is { } effective ? string.Create(CultureInfo.InvariantCulture, $"{Math.Floor(effective + 1e-9):0} effective degrees of freedom") : "degrees of freedom not limited";
            var missing = LeftOut.Where(one => one.Reason == LeftOutReason.NotStated).Select(one => one.Name).ToArray();
            var without = missing.Length == 0 ? "" : $" Not included, because not stated: {string.Join(", ", missing)}.";
            return string.Create(CultureInfo.InvariantCulture,
                $"The {Kind.Name()} is {Point.ReportedCelsius:0.##} °C with an expanded uncertainty of {TwoDigits(Budget.ExpandedCelsius)} °C (coverage factor {Budget.CoverageFactor:0.00} for 95 %, {degrees}).{without}");
        }
    }

    // 7.2.6: two significant digits at most, and rather up than down.
    private static string TwoDigits(double value)
    {
        if (value <= 0)
        {
            return "0";
        }

        var digits = Math.Max(0, 1 - (int)Math.Floor(Math.Log10(value)));
        var scale = Math.Pow(10, digits);
        return (Math.Ceiling((value * scale) - 1e-9) / scale).ToString("F" + digits.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);
    }
}
