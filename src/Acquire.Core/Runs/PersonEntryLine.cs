using System.Globalization;
using System.Text;

namespace Acquire.Core.Runs;

/// <summary>One line of a file of entries, cut into fields; what it says wrong goes to the errors with file, line and column.</summary>
/// <param name="Name">Name of the file.</param>
/// <param name="Number">Number of the line, from 1.</param>
/// <param name="Header">Names of the columns.</param>
/// <param name="Fields">Its fields.</param>
/// <param name="Errors">Where errors go.</param>
internal readonly record struct PersonEntryLine(string Name, int Number, string[] Header, string[] Fields, List<InputError> Errors)
{
    private const double Least = -1e9, Most = RunInput.FarthestSeconds;

    /// <summary>Adds an error of this line; of a column where one is named.</summary>
    public void Refuse(string? column, string message) => Errors.Add(new(column is null ? $"{Name}, line {Number}" : $"{Name}, line {Number}, {column}", message));

    /// <summary>The field in a column; null where there is no such column.</summary>
    public string? At(string column) => Array.IndexOf(Header, column) is >= 0 and var index ? Fields[index].Trim() : null;

    /// <summary>The time in a column, s; null for an empty field, a column that is not there and, with an error, for anything else.</summary>
    public double? Seconds(string column)
    {
        if (At(column) is not { Length: > 0 } text)
        {
            return null;
        }

        if (!double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out var value) || !double.IsFinite(value))
        {
            Refuse(column, $"'{Shown(text)}' is not a finite number with a decimal point");
            return null;
        }

        if (value is < Least or > Most)
        {
            Refuse(column, string.Create(CultureInfo.InvariantCulture, $"{value} is not within {Least} to {Most}"));
            return null;
        }

        return value;
    }

    /// <summary>The volume of a portion, mL; null for an empty field or no such column and, with an error, for anything else.</summary>
    public double? Millilitres()
    {
        if (At(PersonEntryWords.Volume) is not { Length: > 0 } text)
        {
            return null;
        }

        var range = PortionCharged.MillilitresRange;
        if (double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out var value) && range.Contains(value))
        {
            return value;
        }

        Refuse(PersonEntryWords.Volume, string.Create(CultureInfo.InvariantCulture, $"'{Shown(text)}' is not a number within {range.From} to {range.To} mL"));
        return null;
    }

    /// <summary>Who it was; null where nobody said.</summary>
    public string? Person()
    {
        if (At(PersonEntryWords.Person) is not { Length: > 0 } text)
        {
            return null;
        }

        if (PersonName.WhyNot(text) is { } fault)
        {
            Refuse(PersonEntryWords.Person, fault);
        }

        return text;
    }

    /// <summary>A line cut at its commas; a field in quotation marks may hold them, and the mark itself doubled.</summary>
    public static string[] Cut(string line)
    {
        var (fields, field, quoted) = (new List<string>(), new StringBuilder(), false);
        for (var i = 0; i < line.Length; i++)
        {
            var letter = line[i];
            if (letter == '"' && quoted && i + 1 < line.Length && line[i + 1] == '"')
            {
                field.Append(letter);
                i++;
            }
            else if (letter == '"')
            {
                quoted = !quoted;
            }
            else if (letter == ',' && !quoted)
            {
                fields.Add(field.ToString());
                field.Clear();
            }
            else
            {
                field.Append(letter);
            }
        }

        return [.. fields, field.ToString()];
    }

    /// <summary>The beginning of a text, for messages.</summary>
    public static string Shown(string text) => text.Length <= 40 ? text : text[..40] + "…";
}
