using System.Globalization;

namespace Acquire.Core.Results;

/// <summary>Lines of a budget that come from the correction to standard pressure.</summary>
internal static class PressurePart
{
    private const string Barometer = "barometer";
    private const string Coefficient = "pressure coefficient";

    public static void Add(BudgetDraft draft)
    {
        if (draft.Plan.StationPressureKilopascals is null)
        {
            draft.Missing(Barometer, "Nobody read the barometer: nothing was corrected, and how far that is wrong is not known.");
            draft.Missing(Coefficient, "Nobody read the barometer, so the coefficient was not used.");
            return;
        }

        var rule = draft.Plan.Method.Barometric;
        if (draft.Figures.BarometerLimitKilopascals is { } limit)
        {
            draft.Line(Contribution.Rectangular(Barometer, limit, "kPa", "Limit of the barometer's error stated by the laboratory, times the method's coefficient.")
                with { Sensitivity = rule.CoefficientCelsiusPerKilopascal });
        }
        else
        {
            draft.Missing(Barometer, "The laboratory states no limit for the error of its barometer.");
        }

        if (draft.Figures.CoefficientLimitCelsiusPerKilopascal is { } off)
        {
            var away = rule.StandardKilopascals - draft.Result.StationKilopascals;
            draft.Line(Contribution.Rectangular(Coefficient, off, "°C/kPa",
                string.Create(CultureInfo.InvariantCulture, $"Limit stated by the laboratory for the error of the coefficient of {rule.CoefficientCelsiusPerKilopascal:0.###} °C/kPa, times the distance from {rule.StandardKilopascals:0.0##} kPa, {Math.Abs(away):0.0##} kPa."))
                with { Sensitivity = away });
        }
        else
        {
            draft.Missing(Coefficient, "The laboratory states no limit for the error of the method's pressure coefficient.");
        }
    }
}
