using System.CommandLine.Parsing;
using System.Globalization;

namespace Acquire.Service.CommandLine;

/// <summary>Options that hold a day, year first: nobody can take it for another.</summary>
internal static class DayOption
{
    /// <summary>Reads `2026-03-02`.</summary>
    public static DateOnly? Parse(ArgumentResult result)
    {
        var text = result.Tokens.Count == 1 ? result.Tokens[0].Value : "";
        if (DateOnly.TryParseExact(text, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out var day))
        {
            return day;
        }

        var name = (result.Parent as OptionResult)?.Option.Name ?? "the option";
        result.AddError($"{name}: '{text}' is not a day such as 2026-03-02");
        return null;
    }
}
