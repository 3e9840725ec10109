using Acquire.Core.Methods;
using Acquire.Core.Results;

namespace Acquire.Core.Runs;

/// <summary>The rules of one equilibrium run: where the search begins and ends, and what each portion needs.</summary>
public sealed class PortionRules
{
    private readonly string? _material;
    private readonly double _correctionCelsius;

    /// <summary>Resolves a plan.</summary>
    /// <exception cref="ArgumentException">Its method is no equilibrium procedure, or nothing says where to begin; whoever accepted the order let it through.</exception>
    public PortionRules(RunPlan plan)
    {
        ArgumentNullException.ThrowIfNull(plan);
        Rules = plan.Method.Equilibrium ?? throw new ArgumentException($"The method {plan.Method.Id} brings no portions to fixed temperatures.", nameof(plan));
        _material = plan.Material;
        var pressure = plan.StationPressureKilopascals ?? plan.Method.Barometric.StandardKilopascals;
        _correctionCelsius = BarometricCorrection.Correct(0, pressure, plan.Method.Barometric);
        IsPointSearch = Rules.Aim == EquilibriumAim.FlashPoint;
        IReadOnlyList<double> regular = Rules.StepsCelsius ?? [1];
        Steps = plan.FineStep && Rules.OptionalStepCelsius is { } fine && fine < regular[^1] ? [.. regular, fine] : regular;
        var scope = plan.Method.FlashScopeCelsius;
        var whole = regular[^1];
        RangeCelsius = new(Math.Ceiling((scope.From - _correctionCelsius) / whole) * whole, Math.Floor((scope.To - _correctionCelsius) / whole) * whole);
        FirstSetCelsius = IsPointSearch
            ? Math.Clamp(Math.Round((plan.ExpectedFlashCelsius ?? throw new ArgumentException("Nothing says where the search begins.", nameof(plan))) / whole) * whole, RangeCelsius.From, RangeCelsius.To)
            : SetPoint(plan.SpecificationCelsius ?? throw new ArgumentException("No specification is given.", nameof(plan)), pressure, Rules.SetPoint!, plan.Method.Rounding.Ties);
    }

    /// <summary>The method's figures.</summary>
    public EquilibriumRules Rules { get; }

    /// <summary>Whether a flash point is searched; else one temperature is tested.</summary>
    public bool IsPointSearch { get; }

    /// <summary>Steps of the search, °C, wide ones first.</summary>
    public IReadOnlyList<double> Steps { get; }

    /// <summary>Lowest and highest set temperature of the search: the method's scope as the thermometer reads it at this pressure, °C.</summary>
    public TemperatureRange RangeCelsius { get; }

    /// <summary>The first set temperature, °C.</summary>
    public double FirstSetCelsius { get; }

    /// <summary>The temperature to test a specification at: specification − coefficient × (standard − station), to the nearest step. °C.</summary>
    /// <param name="specificationCelsius">The specification, at standard pressure, °C.</param>
    /// <param name="stationKilopascals">Absolute pressure at the bench, kPa.</param>
    /// <param name="rule">The method's rule.</param>
    /// <param name="ties">How a tie is settled.</param>
    public static double SetPoint(double specificationCelsius, double stationKilopascals, SetPointRule rule, TieRule ties = TieRule.HalfToEven)
    {
        ArgumentNullException.ThrowIfNull(rule);
        return Rounding.Round(specificationCelsius - (rule.CoefficientCelsiusPerKilopascal * (rule.StandardKilopascals - stationKilopascals)), new(rule.StepCelsius, ties));
    }

    /// <summary>What is charged and how long it waits at a set temperature, °C; the first entry that fits holds, the last where none does.</summary>
    public EquilibriumCharge ChargeAt(double setCelsius) =>
        Rules.Charges.FirstOrDefault(charge => (charge.Material is null || charge.Material == _material) && !(setCelsius > charge.UpToCelsius)) ?? Rules.Charges[^1];

    /// <summary>A reading at standard pressure, °C.</summary>
    public double AtStandardPressure(double celsius) => celsius + _correctionCelsius;

    /// <summary>What the search wants after these tests.</summary>
    internal SearchStep Next(IReadOnlyCollection<PortionTest> tests)
    {
        var counted = tests.Where(test => test.Counts).ToArray();
        if (IsPointSearch)
        {
            return EquilibriumSearch.Next(Steps, FirstSetCelsius, RangeCelsius, counted.Select(test => (test.SetCelsius, test.Flashed)));
        }

        return counted.Length == 0 ? new(SearchWish.Test, FirstSetCelsius) : new(SearchWish.Found, FirstSetCelsius);
    }
}
