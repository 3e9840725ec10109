using System.Text.Json.Serialization;

namespace Acquire.Core.Methods;

/// <summary>A procedure for flash and fire point, as data. Temperatures in °C, rates in °C/min, times in s.</summary>
/// <remarks>
/// Immutable. Instances come from <see cref="MethodFile"/>, which checks every range given here, or from the plan of an archived
/// run: what is not required was added after the first runs were archived, and is absent in their plans.
/// </remarks>
public sealed record MethodDefinition
{
    /// <summary>Stable id: the standard, the edition and the procedure in lower case, words joined by hyphens.</summary>
    public required string Id { get; init; }

    /// <summary>One line for a list.</summary>
    public required string Title { get; init; }

    /// <summary>The standard and edition whose text rules; this file only carries figures from it.</summary>
    public required string Standard { get; init; }

    /// <summary>What the method is for, in words; null where nobody said.</summary>
    public string? Use { get; init; }

    /// <summary>Whether the flame is applied over an open cup or into a closed one.</summary>
    public CupKind Cup { get; init; } = CupKind.Open;

    /// <summary>How the cup is heated.</summary>
    public HeatingKind Heating { get; init; } = HeatingKind.Direct;

    /// <summary>Whether the specimen is heated along a ramp, or fresh portions are brought to fixed temperatures.</summary>
    public ProcedureKind Procedure { get; init; } = ProcedureKind.Ramp;

    /// <summary>Cup, fill and test flame, for the person at the bench.</summary>
    public required ApparatusRules Apparatus { get; init; }

    /// <summary>How the specimen is stirred; null where it is not.</summary>
    public StirringRules? Stirring { get; init; }

    /// <summary>Limits for what is measured beside the cup; null where nothing there is judged.</summary>
    public SurroundingsRules? Surroundings { get; init; }

    /// <summary>Flash points for which the method is written, °C.</summary>
    public required TemperatureRange FlashScopeCelsius { get; init; }

    /// <summary>What else bounds the method beside the flash point; null where nothing does.</summary>
    public ScopeRules? Scope { get; init; }

    /// <summary>How fast the specimen is to be heated, and where; null in an equilibrium procedure.</summary>
    public RampRules? Ramp { get; init; }

    /// <summary>When and how long the test flame is applied; null in an equilibrium procedure.</summary>
    public ApplicationRules? Applications { get; init; }

    /// <summary>How portions are brought to fixed temperatures; null in a ramp procedure.</summary>
    public EquilibriumRules? Equilibrium { get; init; }

    /// <summary>What to do where nobody knows what to expect; null where the method says nothing about it.</summary>
    public UnknownFlashRules? UnknownFlash { get; init; }

    /// <summary>What counts as a fire point, and where a run may end.</summary>
    public required FirePointRules FirePoint { get; init; }

    /// <summary>Correction to standard pressure.</summary>
    public required BarometricRule Barometric { get; init; }

    /// <summary>How the corrected figure is rounded for the report.</summary>
    public required RoundingRule Rounding { get; init; }

    /// <summary>Repeatability and reproducibility of the flash point; null where none is stated.</summary>
    public Precision? FlashPrecision { get; init; }

    /// <summary>Repeatability and reproducibility of the fire point; null where none is stated.</summary>
    public Precision? FirePrecision { get; init; }

    /// <summary>Limits that no standard states and that we had to choose to judge a record automatically.</summary>
    public required JudgementRules Judgement { get; init; }

    /// <summary>Parts that are different for some expected flash points; null where one set of figures holds for all.</summary>
    public IReadOnlyList<MethodVariant>? Variants { get; init; }

    /// <summary>What a person must know before heating a cup.</summary>
    public required IReadOnlyList<string> Cautions { get; init; }

    /// <summary>Where each figure comes from; an entry marked <see cref="SourceNote.FromMemory"/> awaits a licensed copy.</summary>
    public required IReadOnlyList<SourceNote> Sources { get; init; }

    /// <summary>Materials for which the method has figures of their own, in its words; each once, empty where there are none.</summary>
    [JsonIgnore]
    public IReadOnlyList<string> Materials => [.. Named().OfType<string>().Distinct(StringComparer.Ordinal)];

    private IEnumerable<string?> Named()
    {
        Precision?[] precisions = [FlashPrecision, FirePrecision, .. Variants?.Select(variant => variant.FlashPrecision) ?? []];
        return precisions.SelectMany(precision => precision?.Pieces ?? []).Select(piece => piece.Material)
            .Concat(Equilibrium?.Charges.Select(charge => charge.Material) ?? []);
    }

    /// <summary>The method as it applies to an expected flash point: with the parts of the variant that holds there, and without variants.</summary>
    /// <param name="expectedFlashCelsius">What the analyst expects, °C.</param>
    public MethodDefinition For(double expectedFlashCelsius)
    {
        if (Variants is not { Count: > 0 } variants)
        {
            return this;
        }

        var variant = variants.FirstOrDefault(variant => variant.Holds(expectedFlashCelsius));
        return this with
        {
            Variants = null,
            Ramp = variant?.Ramp ?? Ramp,
            Applications = variant?.Applications ?? Applications,
            FlashPrecision = variant?.FlashPrecision ?? FlashPrecision,
            Judgement = variant?.Judgement ?? Judgement,
        };
    }
}
