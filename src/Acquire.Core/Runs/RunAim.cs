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

    /// <summary>What the specimen is, in the words of the method; null for every material it does not name.</summary>
    public string? Material { get; init; }

    /// <summary>A plan with this aim and nothing else: no pressure, no flame signal, a plain thermometer.</summary>
    /// <param name="method">The method; <see cref="Check"/> found nothing wrong with it.</param>
    public RunPlan Plan(MethodDefinition method) => new() { Method = method, ExpectedFlashCelsius = ExpectedFlashCelsius, Scouting = Scouting, Material = Material, HasFlameSignal = false };

    /// <summary>What is wrong with the aim under a method: contradictions, figures out of range, and what the method cannot do. Empty where nothing is. Paths are those of a start request.</summary>
    /// <param name="method">The method.</param>
    /// <param name="others">Methods to point to, where this one cannot.</param>
    public IReadOnlyList<InputError> Check(MethodDefinition method, IEnumerable<MethodDefinition> others)
    {
        ArgumentNullException.ThrowIfNull(method);
        ArgumentNullException.ThrowIfNull(others);
        if (RunRules.WhyNot(method) is { } reason)
        {
            return [new("methodId", reason)];
        }

        return [.. CheckExpected(method), .. CheckScouting(method, others), .. MaterialRules.Check("material", Material, method) is { } unnamed ? [unnamed] : Array.Empty<InputError>()];
    }

    private IEnumerable<InputError> CheckExpected(MethodDefinition method)
    {
        if (ExpectedFlashCelsius is not { } expected)
        {
            if (!Scouting)
            {
                yield return new("expectedFlashCelsius", "is missing; expected: a number, °C, or `scouting` where nobody knows what to expect");
            }
        }
        else if (Scouting)
        {
            yield return new("scouting", string.Create(CultureInfo.InvariantCulture, $"contradicts the expected flash point of {expected:0.###} °C: a scouting run is for a flash point of which nothing is known. Leave one of the two out"));
        }
        else if (RunPlan.ExpectedFlashRangeCelsius is var range && !range.Contains(expected))
        {
            yield return new("expectedFlashCelsius", string.Create(CultureInfo.InvariantCulture, $"{expected:0.###} °C is not within {range.From} to {range.To} °C"));
        }
        else if (method.FlashScopeCelsius is var scope && !scope.Contains(expected))
        {
            yield return new("expectedFlashCelsius", string.Create(CultureInfo.InvariantCulture, $"{expected:0.###} °C is outside the scope of {method.Id}, {scope.From:0.###} to {scope.To:0.###} °C; choose a method written for that flash point"));
        }
    }

    private IEnumerable<InputError> CheckScouting(MethodDefinition method, IEnumerable<MethodDefinition> others)
    {
        if (Scouting && method.UnknownFlash is null)
        {
            var able = string.Join(", ", others.Where(other => other.UnknownFlash is not null).Select(other => other.Id));
            yield return new("scouting", $"is not for {method.Id}, which says nothing about an unknown flash point; methods that do: {able}");
        }
    }
}
