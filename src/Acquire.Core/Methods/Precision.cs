namespace Acquire.Core.Methods;

/// <summary>Precision of a method at the 95 % level: one pair of numbers, one pair of formulas, or pieces by temperature.</summary>
/// <param name="RepeatabilityCelsius">Limit for two results by one operator with one tester, °C; null where a formula or pieces state it.</param>
/// <param name="ReproducibilityCelsius">Limit for two single results from two laboratories, °C; likewise.</param>
public sealed record Precision(double? RepeatabilityCelsius = null, double? ReproducibilityCelsius = null)
{
    /// <summary>Repeatability as a formula of the temperature; null where a number or pieces state it.</summary>
    public PrecisionFormula? Repeatability { get; init; }

    /// <summary>Reproducibility as a formula of the temperature; likewise.</summary>
    public PrecisionFormula? Reproducibility { get; init; }

    /// <summary>Formulas by temperature and material; the first that fits holds. Null where one holds everywhere.</summary>
    public IReadOnlyList<PrecisionPiece>? Pieces { get; init; }

    /// <summary>Limit for two results by one operator with one tester, °C; null where the method states none.</summary>
    /// <param name="celsius">The result, or the mean of the two, °C.</param>
    /// <param name="material">What was tested, in the words of a piece; null for what no piece names.</param>
    public double? RepeatabilityAt(double celsius, string? material = null) =>
        Stated(Piece(celsius, material)?.Repeatability ?? Repeatability, RepeatabilityCelsius, celsius);

    /// <summary>Limit for two single results from two laboratories, °C; null where the method states none.</summary>
    /// <param name="celsius">The mean of the two results, °C.</param>
    /// <param name="material">What was tested, in the words of a piece; null for what no piece names.</param>
    public double? ReproducibilityAt(double celsius, string? material = null) =>
        Stated(Piece(celsius, material)?.Reproducibility ?? Reproducibility, ReproducibilityCelsius, celsius);

    private PrecisionPiece? Piece(double celsius, string? material) =>
        Pieces?.FirstOrDefault(piece => piece.Material == material && piece.Covers(celsius))
        ?? (Pieces?.Any(piece => piece.Material is not null && piece.Material == material) == true ? null : Pieces?.FirstOrDefault(piece => piece.Material is null && piece.Covers(celsius)));

    // Far from its range a formula may give nothing that two results could differ by.
    private static double? Stated(PrecisionFormula? formula, double? number, double celsius)
    {
        var limit = formula?.At(celsius) ?? number;
        return limit > 0 && double.IsFinite(limit.Value) ? limit : null;
    }
}

/// <summary>A limit that depends on the temperature X, °C: constant + factor × (X + offset) ^ exponent.</summary>
public sealed record PrecisionFormula
{
    /// <summary>Constant part, °C.</summary>
    public double ConstantCelsius { get; init; }

    /// <summary>Factor of the power.</summary>
    public double Factor { get; init; }

    /// <summary>Added to the temperature before the power, °C.</summary>
    public double OffsetCelsius { get; init; }

    /// <summary>The power.</summary>
    public double Exponent { get; init; } = 1;

    /// <summary>The limit at a temperature, °C; not a number where the power has none.</summary>
    public double At(double celsius) => ConstantCelsius + (Factor == 0 ? 0 : Factor * Math.Pow(celsius + OffsetCelsius, Exponent));
}

/// <summary>Precision in a range of temperatures, or for a material.</summary>
public sealed record PrecisionPiece
{
    /// <summary>Holds from this temperature on, °C, included; null: no lower end.</summary>
    public double? FromCelsius { get; init; }

    /// <summary>Holds up to this temperature, °C, included; null: no upper end.</summary>
    public double? ToCelsius { get; init; }

    /// <summary>Holds only for this material, in words; null: for every other.</summary>
    public string? Material { get; init; }

    /// <summary>Limit for two results by one operator with one tester.</summary>
    public required PrecisionFormula Repeatability { get; init; }

    /// <summary>Limit for two single results from two laboratories.</summary>
    public required PrecisionFormula Reproducibility { get; init; }

    /// <summary>Whether the temperature lies in the piece, ends included.</summary>
    public bool Covers(double celsius) => !(celsius < FromCelsius) && !(celsius > ToCelsius);
}
