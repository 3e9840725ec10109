using System.Globalization;

namespace Acquire.Core.Readings;

/// <summary>One line of readings of a trace, cut at its commas; what it says wrong goes to the errors with trace, line and column.</summary>
/// <param name="Trace">Name of the trace.</param>
/// <param name="Number">Number of the line, from 1.</param>
/// <param name="Fields">Its fields.</param>
/// <param name="Errors">Where errors go.</param>
internal readonly record struct TraceLine(string Trace, int Number, string[] Fields, List<InputError> Errors)
{
    private const int MostCharactersShown = 40;

    /// <summary>The number in a column; null for an empty field, a column that is not there (index below 0) and, with an error, for anything that is no finite number in the range.</summary>
    public double? ValueAt(int index, string column, double least, double most)
    {
        var text = TextAt(index);
        if (text.IsEmpty)
        {
            return null;
        }

        if (!double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out var value) || !double.IsFinite(value))
        {
            Refuse(column, $"'{Shorten(text)}' is not a finite number with a decimal point");
            return null;
        }

        if (value < least || value > most)
        {
            Refuse(column, string.Create(CultureInfo.InvariantCulture, $"{value} is not within {least} to {most}"));
            return null;
        }

        return value;
    }

    /// <summary>The whole number in a column, 0 or above; null for an empty field, a column that is not there and, with an error, for anything else.</summary>
    public long? WholeAt(int index, string column)
    {
        var text = TextAt(index);
        if (text.IsEmpty)
        {
            return null;
        }

        if (long.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out var value))
        {
            return value;
        }

        Refuse(column, $"'{Shorten(text)}' is not a whole number from 0 to {long.MaxValue}");
        return null;
    }

    /// <summary>The marks in a column; none for an empty field, a column that is not there and, with an error, for a word that is no mark.</summary>
    public ReadingMarks MarksAt(int index, string column)
    {
        if (!ReadingMarkWords.TryParse(TextAt(index), out var marks, out var unknown))
        {
            Refuse(column, $"'{Shorten(unknown)}' is no mark of a reading; known are {ReadingMarkWords.Known}, several joined by +");
        }

        return marks;
    }

    /// <summary>Adds an error of this line; of a column where one is named.</summary>
    public void Refuse(string? column, string message) =>
        Errors.Add(new(column is null ? $"{Trace}, line {Number}" : $"{Trace}, line {Number}, {column}", message));

    private ReadOnlySpan<char> TextAt(int index) => index < 0 ? default : Fields[index].AsSpan().Trim().Trim('"');

    private static string Shorten(ReadOnlySpan<char> text) => text.Length <= MostCharactersShown ? text.ToString() : string.Concat(text[..MostCharactersShown], "…");
}
