using System.Globalization;
using Acquire.Core.Methods;

namespace Acquire.Core.Runs;

/// <summary>What a run is to find out: what is known before it, and what is not.</summary>
public sealed record RunAim
{
    /// <summary>The flash point expected, °C; null where nobody knows.</summary>
    public double? ExpectedFlashCelsius { get; init; }

    /// <summary>Whether the run is to find out what the next one may expect.</summary>
    public bool Scouting { get; init; }

    /// <summary>The specification that is tested for flash or no flash, at standard pressure, °C; null elsewhere.</summary>
    public double? SpecificationCelsius { get; init; }

    /// <summary>Whether a search by steps ends with the method's optional, finer step.</summary>
    public bool FineStep { get; init; }

    /// <summary>What the specimen is, in the words of the method; null for every material it does not name.</summary>
    public string? Material { get; init; }

    /// <summary>A plan with this aim and nothing else: no pressure, no flame signal, a plain thermometer.</summary>
    /// <param name="method">The method; <see cref="Check"/> found nothing wrong with it.</param>
    public RunPlan Plan(MethodDefinition method) => new() { Method = method, ExpectedFlashCelsius = ExpectedFlashCelsius, Scouting = Scouting, SpecificationCelsius = SpecificationCelsius, FineStep = FineStep, Material = Material, HasFlameSignal = false };

    /// <summary>What is wrong with the aim under a method: contradictions, figures out of range, and what the method cannot do. Empty where nothing is. Paths are those of a start request.</summary>
    /// <param name="method">The method.</param>
    /// <param name="others">Methods to point to, where this one cannot.</param>
    public IReadOnlyList<InputError> Check(MethodDefinition method, IEnumerable<MethodDefinition> others)
    {
        ArgumentNullException.ThrowIfNull(method);
        ArgumentNullException.ThrowIfNull(others);
        var ramp = method.Procedure == ProcedureKind.Ramp;
        var asks = method.Equilibrium?.Aim == EquilibriumAim.FlashNoFlash;
        return
        [
            .. asks ? CheckSpecification(method) : CheckExpected(method, ramp), .. CheckScouting(method, others, ramp), .. CheckOthers(method, asks),
            .. MaterialRules.Check("material", Material, method) is { } unnamed ? [unnamed] : Array.Empty<InputError>(),
        ];
    }

    private IEnumerable<InputError> CheckExpected(MethodDefinition method, bool ramp)
    {
        if (ExpectedFlashCelsius is not { } expected)
        {
            if (!Scouting || !ramp)
            {
                yield return new("expectedFlashCelsius", ramp ? "is missing; expected: a number, °C, or `scouting` where nobody knows what to expect" : "is missing; expected: a number, °C, at which the search begins");
            }
        }
        else if (Scouting && ramp)
        {
            yield return new("scouting", string.Create(CultureInfo.InvariantCulture, $"contradicts the expected flash point of {expected:0.###} °C: a scouting run is for a flash point of which nothing is known. Leave one of the two out"));
        }
        else if (Range("expectedFlashCelsius", expected, method) is { } wrong)
        {
            yield return wrong;
        }
    }

    private IEnumerable<InputError> CheckSpecification(MethodDefinition method)
    {
        if (ExpectedFlashCelsius is not null)
        {
            yield return new("expectedFlashCelsius", $"is not for {method.Id}, which tests one temperature; give specificationCelsius");
        }

        if (SpecificationCelsius is not { } specification)
        {
            yield return new("specificationCelsius", "is missing; expected: the temperature of the specification at standard pressure, °C");
        }
        else if (Range("specificationCelsius", specification, method) is { } wrong)
        {
            yield return wrong;
        }
    }

    private IEnumerable<InputError> CheckOthers(MethodDefinition method, bool asks)
    {
        if (SpecificationCelsius is not null && !asks)
        {
            yield return new("specificationCelsius", $"is not for {method.Id}, which determines a flash point; give expectedFlashCelsius, or a method that tests one temperature");
        }

        if (FineStep && method.Equilibrium?.OptionalStepCelsius is null)
        {
            yield return new("fineStep", $"is not for {method.Id}, which has no finer step to add");
        }
    }

    private static InputError? Range(string path, double celsius, MethodDefinition method)
    {
        var (range, scope) = (RunPlan.ExpectedFlashRangeCelsius, method.FlashScopeCelsius);
        return !range.Contains(celsius) ? new(path, string.Create(CultureInfo.InvariantCulture, $"{celsius:0.###} °C is not within {range.From} to {range.To} °C"))
            : !scope.Contains(celsius) ? new(path, string.Create(CultureInfo.InvariantCulture, $"{celsius:0.###} °C is outside the scope of {method.Id}, {scope.From:0.###} to {scope.To:0.###} °C; choose a method written for that flash point"))
            : null;
    }

    private IEnumerable<InputError> CheckScouting(MethodDefinition method, IEnumerable<MethodDefinition> others, bool ramp)
    {
        if (Scouting && !ramp)
        {
            yield return new("scouting", $"is not for {method.Id}, which searches in steps from wherever it begins");
        }
        else if (Scouting && method.UnknownFlash is null)
        {
            var able = string.Join(", ", others.Where(other => other.UnknownFlash is not null).Select(other => other.Id));
            yield return new("scouting", $"is not for {method.Id}, which says nothing about an unknown flash point; methods that do: {able}");
        }
    }
}
