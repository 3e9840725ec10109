using System.Globalization;

namespace Acquire.Core.Results;

/// <summary>Lines of a budget that come from the method's schedule: interval, ramp, rounding.</summary>
internal static class SchedulePart
{
    private const string Ramp = "ramp rate";

    public static void Add(BudgetDraft draft)
    {
        if (draft.Result.Equilibrium is { } equilibrium)
        {
            Step(draft, equilibrium);
        }
        else
        {
            Interval(draft);
            AddRamp(draft);
        }

        var step = draft.Plan.Method.Rounding.StepCelsius;
        draft.LineUnlessScattered(Contribution.Rectangular("rounding", step / 2, "°C",
            string.Create(CultureInfo.InvariantCulture, $"Half of the step of {step:0.###} °C to which {draft.Plan.Method.Standard} rounds.")));
    }

    // The specimen would have flashed somewhere after the application that did not do it.
    private static void Interval(BudgetDraft draft)
    {
        var (width, from) = Width(draft);
        var half = width / 2;
        draft.LineUnlessScattered(Contribution.Rectangular("application interval", half, "°C",
            string.Create(CultureInfo.InvariantCulture, $"Half of {width:0.0} °C, {from}: the true {draft.Kind.Name()} lies anywhere between.")));
        draft.Remark(string.Create(CultureInfo.InvariantCulture,
            $"The true onset lies between two applications, so the observed {draft.Kind.Name()} is on the mean {half:0.0} °C high. {draft.Plan.Method.Standard} defines the result as the application observed; nothing is subtracted."));
    }

    // A portion one step below did not flash.
    private static void Step(BudgetDraft draft, EquilibriumResult equilibrium)
    {
        if (equilibrium.StepCelsius is not { } step)
        {
            draft.Missing("step of the search", "No portion was tested below the one that flashed.");
            return;
        }

        draft.LineUnlessScattered(Contribution.Rectangular("step of the search", step / 2, "°C",
            string.Create(CultureInfo.InvariantCulture, $"Half of {step:0.##} °C, the distance to the highest set temperature without a flash: the true flash point lies anywhere between.")));
        draft.Remark(string.Create(CultureInfo.InvariantCulture,
            $"The true flash point lies between two set temperatures, so the observed one is on the mean {step / 2:0.##} °C high. {draft.Plan.Method.Standard} defines the result as the lowest temperature with a flash; nothing is subtracted."));
    }

    private static (double Width, string From) Width(BudgetDraft draft)
    {
        var made = draft.Result.Applications.Where(one => one.TimeSeconds <= draft.Point.TimeSeconds).ToArray();
        return made.Length >= 2 && draft.Point.ObservedCelsius - made[^2].TemperatureCelsius is > 0 and var rise
            ? (rise, "the rise since the application before")
            : (draft.Plan.Rules.Applications.IntervalCelsius, "the method's interval");
    }

    private static void AddRamp(BudgetDraft draft)
    {
        var band = draft.Plan.Rules.Ramp.ControlledHeatingCelsiusPerMinute;
        if (draft.Figures.RampSensitivityCelsiusPerCelsiusPerMinute is not { } sensitivity)
        {
            draft.Missing(Ramp, "The laboratory does not state how the point changes with the ramp rate.");
            return;
        }

        draft.Line(Contribution.Rectangular(Ramp, (band.To - band.From) / 2, "°C/min",
            string.Create(CultureInfo.InvariantCulture, $"Half of the method's band, {band.From:0.##} to {band.To:0.##} °C/min, times the change of the point that the laboratory states."))
            with { Sensitivity = sensitivity });
        if (draft.Result.Findings.Any(finding => finding.Code is FindingCodes.RateTooFast or FindingCodes.RateTooSlow))
        {
            draft.Remark("The ramp left the method's band in this run: the line for the ramp rate does not cover that.");
        }
    }
}
