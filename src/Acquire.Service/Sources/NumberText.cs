using System.Buffers;
using System.Globalization;
using System.Text;
using Acquire.Service.Configuration;

namespace Acquire.Service.Sources;

/// <summary>Numbers and flame words as ASCII text, read without allocating.</summary>
public static class NumberText
{
    /// <summary>Longest number that is read, characters.</summary>
    public const int LongestBytes = 64;

    /// <summary>What a flame value may be.</summary>
    public const string AllowedFlame = "0 or 1, true or false, on or off";

    private const NumberStyles Style = NumberStyles.AllowLeadingSign | NumberStyles.AllowDecimalPoint | NumberStyles.AllowExponent;

    // Whatever the library would read as a word (infinity, not-a-number) is no measurement.
    private static readonly SearchValues<byte> NumberBytes = SearchValues.Create("0123456789+-.eE"u8);

    /// <summary>Reads a number with a decimal point or comma. Not-a-number, infinity and group separators are refused.</summary>
    public static bool TryReadNumber(ReadOnlySpan<byte> text, char decimalSeparator, out double value)
    {
        value = 0;
        if (text.Length is 0 or > LongestBytes)
        {
            return false;
        }

        if (decimalSeparator == '.')
        {
            return TryReadPoint(text, out value);
        }

        Span<byte> pointed = stackalloc byte[LongestBytes];
        pointed = pointed[..text.Length];
        if (text.Contains((byte)'.'))
        {
            return false;
        }

        text.Replace(pointed, (byte)decimalSeparator, (byte)'.');
        return TryReadPoint(pointed, out value);
    }

    /// <summary>Reads whether the flame is over the cup.</summary>
    public static bool TryReadFlame(ReadOnlySpan<byte> text, out bool over)
    {
        over = text.Length > 0 && (text is [(byte)'1'] || Ascii.EqualsIgnoreCase(text, "true"u8) || Ascii.EqualsIgnoreCase(text, "on"u8));
        return over || text is [(byte)'0'] || Ascii.EqualsIgnoreCase(text, "false"u8) || Ascii.EqualsIgnoreCase(text, "off"u8);
    }

    /// <summary>Text from a wire made short and printable; bytes that are not printable ASCII become question marks.</summary>
    public static string Shown(ReadOnlySpan<byte> text) => JsonText.Shown(Encoding.Latin1.GetString(text[..Math.Min(text.Length, 200)]));

    private static bool TryReadPoint(ReadOnlySpan<byte> text, out double value)
    {
        value = 0;
        return text.IndexOfAnyExcept(NumberBytes) < 0
            && double.TryParse(text, Style, CultureInfo.InvariantCulture, out value)
            && double.IsFinite(value);
    }
}
