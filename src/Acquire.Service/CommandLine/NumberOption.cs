using System.CommandLine;
using System.CommandLine.Parsing;
using System.Globalization;

namespace Acquire.Service.CommandLine;

/// <summary>Options that hold a number with a decimal point. A comma is refused: it could be read as a thousands mark.</summary>
internal static class NumberOption
{
    /// <summary>A number that must be given.</summary>
    public static Option<double> Required(string name, string description) =>
        new(name) { Description = description, Required = true, CustomParser = result => Parse(result) ?? 0 };

    /// <summary>A number with a default.</summary>
    public static Option<double> WithDefault(string name, string description, double value) =>
        new(name) { Description = description, DefaultValueFactory = _ => value, CustomParser = result => Parse(result) ?? 0 };

    /// <summary>A number that may be left out.</summary>
    public static Option<double?> Optional(string name, string description) =>
        new(name) { Description = description, CustomParser = Parse };

    /// <summary>A whole number from 0 on that may be left out.</summary>
    public static Option<int?> OptionalWhole(string name, string description) => new(name) { Description = description, CustomParser = ParseWhole };

    private static int? ParseWhole(ArgumentResult result)
    {
        var text = result.Tokens.Count == 1 ? result.Tokens[0].Value : "";
        if (int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out var value))
        {
            return value;
        }

        result.AddError($"{NameOf(result)}: '{text}' is not a whole number such as 3650");
        return null;
    }

    private static string NameOf(ArgumentResult result) => (result.Parent as OptionResult)?.Option.Name ?? "the option";

    private static double? Parse(ArgumentResult result)
    {
        var text = result.Tokens.Count == 1 ? result.Tokens[0].Value : "";
        if (double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out var value) && double.IsFinite(value))
        {
            return value;
        }

        result.AddError($"{NameOf(result)}: '{text}' is not a number with a decimal point, such as 226.5");
        return null;
    }
}
