using System.Globalization;
using Acquire.Core.Methods;
using Acquire.Core.Runs;

namespace Acquire.Core.Results;

/// <summary>A budget in the making: each part adds its lines, or says what it lacks.</summary>
internal sealed class BudgetDraft(RunResult result, RunPlan plan, PointKind kind, LaboratoryFigures figures)
{
    private readonly List<Contribution> _lines = [];
    private readonly List<LeftOut> _leftOut = [];
    private readonly List<string> _remarks = [];

    public RunResult Result { get; } = result;

    public RunPlan Plan { get; } = plan;

    public PointKind Kind { get; } = kind;

    public LaboratoryFigures Figures { get; } = figures;

    public DeterminedPoint Point { get; } = kind.Of(result)!;

    /// <summary>Whether a line for the scatter of repeated determinations will be there.</summary>
    public bool HasScatter => Figures.Repeatability is not null || MethodRepeatabilityCelsius is not null;

    /// <summary>Repeatability limit of the method at the point, °C, where it is to be taken; null where it is not, or where the method states none there.</summary>
    public double? MethodRepeatabilityCelsius => Figures.TakeMethodRepeatability ? Precision?.RepeatabilityAt(Point.CorrectedCelsius, Plan.Material) : null;

    /// <summary>Flash points for which the method's precision was determined, °C, where this one is not among them; null where it is, or where none are stated.</summary>
    public TemperatureRange? PrecisionElsewhere =>
        Kind == PointKind.Flash && Plan.Method.Scope?.PrecisionCelsius is { } range && !range.Contains(Point.CorrectedCelsius) ? range : null;

    private Precision? Precision => PrecisionElsewhere is null ? Kind.Of(Plan.Applied) : null;

    public void Line(Contribution line) => _lines.Add(line);

    /// <summary>A line that varies from one repeat to the next: the scatter of repeats, where there is one, holds it already.</summary>
    public void LineUnlessScattered(Contribution line)
    {
        if (HasScatter)
        {
            _leftOut.Add(new(line.Name, LeftOutReason.AlreadyCounted, string.Create(CultureInfo.InvariantCulture,
                $"Differs from one repeat to the next, so the repeatability already holds it; a line of its own ({line.StandardCelsius:0.000} °C) would count it twice.")));
        }
        else
        {
            Line(line);
        }
    }

    public void Missing(string name, string why) => _leftOut.Add(new(name, LeftOutReason.NotStated, why));

    public void Remark(string sentence) => _remarks.Add(sentence);

    public PointUncertainty Finish()
    {
        if (Precision?.ReproducibilityAt(Point.CorrectedCelsius, Plan.Material) is { } limit)
        {
            Remark(string.Create(CultureInfo.InvariantCulture,
                $"The precision statement of {Plan.Method.Standard} rules over this budget: two laboratories may differ by its reproducibility, {limit:0.##} °C, whatever their instruments."));
        }

        if (PrecisionElsewhere is { } range)
        {
            Remark(string.Create(CultureInfo.InvariantCulture,
                $"{Plan.Method.Standard} states its precision for flash points of {range.From:0.#} to {range.To:0.#} °C only; how far two laboratories may differ here is not known."));
        }

        return new(Kind, Point, new(_lines), _leftOut, _remarks);
    }
}
