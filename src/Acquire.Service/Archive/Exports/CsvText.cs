using System.Text;

namespace Acquire.Service.Archive.Exports;

/// <summary>Text files of values as RFC 4180 has them: lines end with CR LF; a field with a comma, a quote or an end of line is quoted, a quote in it doubled.</summary>
internal static class CsvText
{
    /// <summary>How a line ends.</summary>
    public const string End = "\r\n";

    private const string Formula = "=+-@\t\r";

    /// <summary>A line of fields that need no quotes.</summary>
    public static void Line(StringBuilder text, IEnumerable<string> fields) => text.AppendJoin(',', fields).Append(End);

    /// <summary>A text as a field. Where a table program would take it for a formula, an apostrophe stands before it; numbers are never touched.</summary>
    public static string Field(string? text)
    {
        if (string.IsNullOrEmpty(text))
        {
            return "";
        }

        var safe = Formula.Contains(text[0], StringComparison.Ordinal) ? "'" + text : text;
        return safe.AsSpan().ContainsAny(",\"\r\n") ? $"\"{safe.Replace("\"", "\"\"", StringComparison.Ordinal)}\"" : safe;
    }
}
