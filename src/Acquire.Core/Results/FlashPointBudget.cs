using System.Diagnostics.CodeAnalysis;
using Acquire.Core.Runs;

namespace Acquire.Core.Results;

/// <summary>Makes the uncertainty budget of a flash or fire point from its run, its plan and what the laboratory knows.</summary>
/// <remarks>
/// Model: reported = observed + calibration + drift + resolution + lag + interval + coefficient × (standard − station) + ramp + rounding + scatter,
/// where each added term is expected to be zero and only its uncertainty counts.
/// </remarks>
public static class FlashPointBudget
{
    /// <summary>Makes the budget. On failure the errors say what is wrong with the figures, or why there is no point.</summary>
    /// <param name="result">The closed run.</param>
    /// <param name="plan">Its plan.</param>
    /// <param name="kind">Which point.</param>
    /// <param name="figures">What the laboratory knows; <see cref="LaboratoryFigures.None"/> where nothing.</param>
    /// <param name="uncertainty">The budget with what it lacks; null on failure.</param>
    /// <param name="errors">What is wrong; empty on success. Paths begin with `figures`, or are `flash` or `fire`.</param>
    public static bool TryMake(RunResult result, RunPlan plan, PointKind kind, LaboratoryFigures figures, [NotNullWhen(true)] out PointUncertainty? uncertainty, out IReadOnlyList<InputError> errors)
    {
        ArgumentNullException.ThrowIfNull(figures);
        uncertainty = null;
        errors = figures.Check("figures");
        if (errors.Count > 0)
        {
            return false;
        }

        if (CannotReport.Why(result, plan, kind) is { } why)
        {
            errors = [new(kind == PointKind.Flash ? "flash" : "fire", why)];
            return false;
        }

        var draft = new BudgetDraft(result, plan, kind, figures);
        ThermometerPart.Add(draft);
        SchedulePart.Add(draft);
        PressurePart.Add(draft);
        ScatterPart.Add(draft);
        uncertainty = draft.Finish();
        return true;
    }
}
