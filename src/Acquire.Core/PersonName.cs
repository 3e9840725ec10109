using System.Globalization;
using System.Text;

namespace Acquire.Core;

/// <summary>What may stand for a person in the record.</summary>
public static class PersonName
{
    /// <summary>Most characters.</summary>
    public const int Longest = 80;

    /// <summary>What is allowed, for messages.</summary>
    public static string Allowed { get; } = string.Create(CultureInfo.InvariantCulture, $"1 to {Longest} printable characters, the first a letter or digit");

    /// <summary>Why a text is no name, with what is allowed; null where it is one.</summary>
    public static string? WhyNot(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        if (text.Length is 0 or > Longest)
        {
            return string.Create(CultureInfo.InvariantCulture, $"has {text.Length} characters; allowed: {Allowed}");
        }

        if (FirstUnprintable(text) is { } position)
        {
            return string.Create(CultureInfo.InvariantCulture, $"has a character at position {position + 1} that cannot be printed; allowed: {Allowed}");
        }

        // A table program takes a text that begins with a sign for a formula.
        _ = Rune.TryGetRuneAt(text, 0, out var first);
        return Rune.IsLetterOrDigit(first) ? null : $"begins with '{first}'; allowed: {Allowed}";
    }

    /// <summary>Index of the first character that cannot be printed; null where all can.</summary>
    public static int? FirstUnprintable(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        for (var position = 0; position < text.Length;)
        {
            // An unpaired surrogate fails to decode; format characters could turn a label around on a report.
            var whole = Rune.TryGetRuneAt(text, position, out var rune);
            var printable = whole && Rune.GetUnicodeCategory(rune) is not (UnicodeCategory.Control or UnicodeCategory.Format
                or UnicodeCategory.LineSeparator or UnicodeCategory.ParagraphSeparator or UnicodeCategory.PrivateUse or UnicodeCategory.OtherNotAssigned);
            if (!printable)
            {
                return position;
            }

            position += rune.Utf16SequenceLength;
        }

        return null;
    }
}
