using System.Globalization;
using Acquire.Core.Methods;

namespace Acquire.Service.CommandLine;

/// <summary>A statement of precision in words.</summary>
internal static class MethodPrecisionText
{
    /// <summary>Writes one line for a pair of limits, or one for each piece.</summary>
    public static void Write(string point, Precision? precision, Action<string, string?> line)
    {
        if (precision is null)
        {
            return;
        }

        if (precision.Pieces is not { Count: > 0 } pieces)
        {
            line("precision", $"{point} r {Show(precision.RepeatabilityCelsius, precision.Repeatability)}, R {Show(precision.ReproducibilityCelsius, precision.Reproducibility)}");
            return;
        }

        foreach (var piece in pieces)
        {
            line("precision", $"{point} r {Show(null, piece.Repeatability)}, R {Show(null, piece.Reproducibility)}{Where(piece)}");
        }
    }

    private static string Where(PrecisionPiece piece)
    {
        var from = piece.FromCelsius is { } low ? Text($" from {low} °C") : "";
        var to = piece.ToCelsius is { } high ? Text($" up to {high} °C") : "";
        return $"{(piece.Material is { } material ? $", {material}" : "")}{(from.Length + to.Length > 0 ? "," : "")}{from}{to}";
    }

    private static string Show(double? number, PrecisionFormula? formula)
    {
        if (formula is not { Factor: not 0 } f)
        {
            return Text($"{number ?? formula?.ConstantCelsius} °C");
        }

        var constant = f.ConstantCelsius == 0 ? "" : Text($"{f.ConstantCelsius} + ");
        var x = f.OffsetCelsius == 0 ? "X" : Text($"(X {(f.OffsetCelsius < 0 ? "-" : "+")} {Math.Abs(f.OffsetCelsius)})");
        return Text($"{constant}{f.Factor} {x}{(f.Exponent == 1 ? "" : Text($"^{f.Exponent}"))} °C");
    }

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
