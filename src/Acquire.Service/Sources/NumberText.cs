using System.Buffers;
using System.Globalization;
using System.Text;
using Acquire.Service.Configuration;

namespace Acquire.Service.Sources;

/// <summary>Numbers and words for yes and no as ASCII text, read without allocating.</summary>
public static class NumberText
{
    /// <summary>Longest number that is read, characters.</summary>
    public const int LongestBytes = 64;

    /// <summary>What a yes or no may be.</summary>
    public const string AllowedYesOrNo = "0 or 1, true or false, on or off";

    /// <summary>What a number that only counts may be.</summary>
    public const string AllowedWhole = "a whole number from 0 to 9223372036854775807";

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

    /// <summary>Reads a whole number without a sign.</summary>
    public static bool TryReadWhole(ReadOnlySpan<byte> text, out long value)
    {
        value = 0;
        return text.Length <= LongestBytes && long.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out value);
    }

    /// <summary>Reads a yes or no, such as whether the flame is over the cup.</summary>
    public static bool TryReadYesOrNo(ReadOnlySpan<byte> text, out bool yes)
    {
        yes = text.Length > 0 && (text is [(byte)'1'] || Ascii.EqualsIgnoreCase(text, "true"u8) || Ascii.EqualsIgnoreCase(text, "on"u8));
        return yes || text is [(byte)'0'] || Ascii.EqualsIgnoreCase(text, "false"u8) || Ascii.EqualsIgnoreCase(text, "off"u8);
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
