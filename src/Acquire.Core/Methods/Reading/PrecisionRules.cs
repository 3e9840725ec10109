namespace Acquire.Core.Methods.Reading;

/// <summary>The ranges of a precision statement.</summary>
internal static class PrecisionRules
{
    public static void Check(MethodErrors errors, Precision? precision)
    {
        if (precision is null)
        {
            return;
        }

        var pieces = precision.Pieces is { Count: > 0 };
        Pair(errors, "repeatability", precision.RepeatabilityCelsius, precision.Repeatability, pieces);
        Pair(errors, "reproducibility", precision.ReproducibilityCelsius, precision.Reproducibility, pieces);
        errors.Number("repeatabilityCelsius", precision.RepeatabilityCelsius, 0.01, 50);
        errors.Number("reproducibilityCelsius", precision.ReproducibilityCelsius, precision.RepeatabilityCelsius ?? 0.01, 100);
        Formula(errors.Below("repeatability"), precision.Repeatability);
        Formula(errors.Below("reproducibility"), precision.Reproducibility);
        errors.AtMost("pieces", precision.Pieces?.Count, 50);
        for (var i = 0; i < precision.Pieces?.Count; i++)
        {
            Piece(errors.Below(MethodErrors.Entry("pieces", i)), precision.Pieces[i]);
            Overlap(errors, precision.Pieces, i);
        }
    }

    private static void Pair(MethodErrors errors, string key, double? number, PrecisionFormula? formula, bool pieces)
    {
        errors.Require(number is not null || formula is not null || pieces, key + "Celsius", $"is missing: give {key}Celsius, the formula {key}, or pieces");
        errors.Require(number is null || formula is null, key, $"stands beside {key}Celsius; give one of them");
    }

    // Pieces may meet in a temperature; the first holds there.
    private static void Overlap(MethodErrors errors, IReadOnlyList<PrecisionPiece> pieces, int i)
    {
        var one = pieces[i];
        for (var j = 0; j < i; j++)
        {
            var other = pieces[j];
            var apart = one.Material != other.Material || one.FromCelsius >= other.ToCelsius || other.FromCelsius >= one.ToCelsius;
            errors.Require(apart, MethodErrors.Entry("pieces", i), $"overlaps with {MethodErrors.Entry("pieces", j)}, for the same material");
        }
    }

    private static void Piece(MethodErrors errors, PrecisionPiece piece)
    {
        errors.Number("fromCelsius", piece.FromCelsius, -100, 500);
        errors.Number("toCelsius", piece.ToCelsius, -100, 500);
        errors.Require(!(piece.FromCelsius >= piece.ToCelsius), "toCelsius", "is not above fromCelsius");
        errors.Text("material", piece.Material);
        Formula(errors.Below("repeatability"), piece.Repeatability);
        Formula(errors.Below("reproducibility"), piece.Reproducibility);
    }

    private static void Formula(MethodErrors errors, PrecisionFormula? formula)
    {
        if (formula is null)
        {
            return;
        }

        errors.Number("constantCelsius", formula.ConstantCelsius, -100, 100);
        errors.Number("factor", formula.Factor, -100, 100);
        errors.Number("offsetCelsius", formula.OffsetCelsius, -500, 500);
        errors.Number("exponent", formula.Exponent, -5, 5);
        errors.Require(formula.ConstantCelsius != 0 || formula.Factor != 0, "constantCelsius", "and factor are both 0: such a limit would let nothing pass");
    }
}
