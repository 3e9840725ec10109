using System.Globalization;
using System.Text;

namespace Acquire.Service.Archive.Influx.Lines;

/// <summary>Writes one line of line protocol behind what is there already. Numbers are always floats and come back with the same bits; what is not a number is left out.</summary>
internal sealed class LineText(StringBuilder text)
{
    // A server takes 64 KiB; a sentence for people is far shorter.
    private const int LongestText = 4000;

    private bool _hasField;

    /// <summary>Begins a line.</summary>
    /// <param name="measurement">Its measurement: a word of ours, without anything to escape.</param>
    /// <param name="tags">Its tags, see <see cref="Tag"/>.</param>
    /// <param name="part">See <see cref="PointTime.Part"/>.</param>
    public LineText Begin(string measurement, string tags, long part)
    {
        text.Append(measurement).Append(tags);
        if (part > 0)
        {
            text.Append(CultureInfo.InvariantCulture, $",part={part}");
        }

        _hasField = false;
        return this;
    }

    /// <summary>A number; left out where it is none or not finite.</summary>
    public LineText Number(string key, double? value)
    {
        if (value is { } number && double.IsFinite(number))
        {
            Key(key).Append(CultureInfo.InvariantCulture, $"{number:R}");
        }

        return this;
    }

    /// <summary>Yes or no, as the number 1 or 0: a field keeps one type for ever.</summary>
    public LineText YesNo(string key, bool value)
    {
        Key(key).Append(value ? '1' : '0');
        return this;
    }

    /// <summary>Text on one line; left out where there is none.</summary>
    public LineText Words(string key, string? value)
    {
        if (string.IsNullOrEmpty(value))
        {
            return this;
        }

        Key(key).Append('"');
        foreach (var character in value.AsSpan(0, Math.Min(value.Length, LongestText)))
        {
            if (character is '"' or '\\')
            {
                text.Append('\\');
            }

            text.Append(char.IsControl(character) ? ' ' : character);
        }

        text.Append('"');
        return this;
    }

    /// <summary>Ends the line.</summary>
    /// <param name="nanoseconds">Its timestamp.</param>
    public void End(long nanoseconds) => text.Append(CultureInfo.InvariantCulture, $" {nanoseconds}\n");

    /// <summary>A tag with the comma before it, escaped. Nothing for an empty value: line protocol knows none.</summary>
    public static string Tag(string key, string value)
    {
        if (value.Length == 0)
        {
            return "";
        }

        var tag = new StringBuilder().Append(',').Append(key).Append('=');
        foreach (var character in value)
        {
            if (character is ',' or '=' or ' ')
            {
                tag.Append('\\');
            }

            // A stroke of this kind before a comma cannot be told from an escape, a quotation mark is the beginning of a text to some readers, and no id of ours has either.
            tag.Append(character == '\\' ? '/' : character == '"' ? '\'' : char.IsControl(character) ? '_' : character);
        }

        return tag.ToString();
    }

    private StringBuilder Key(string key)
    {
        text.Append(_hasField ? ',' : ' ').Append(key).Append('=');
        _hasField = true;
        return text;
    }
}
