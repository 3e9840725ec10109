using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using System.Text;

namespace Acquire.Service.Sources;

/// <summary>Bytes of a wire as text of printable ASCII, and back, without loss.</summary>
public static class WireText
{
    /// <summary>How bytes may be written.</summary>
    public const string Allowed = "printable ASCII and the escapes \\r, \\n, \\t, \\\\ and \\xHH with two hexadecimal digits";

    private const int FirstPrintable = 0x20, LastPrintable = 0x7E;

    /// <summary>Writes bytes as text: printable ASCII as it is, everything else as an escape.</summary>
    public static string Escape(ReadOnlySpan<byte> bytes)
    {
        var text = new StringBuilder(bytes.Length);
        foreach (var value in bytes)
        {
            _ = value switch
            {
                (byte)'\r' => text.Append("\\r"),
                (byte)'\n' => text.Append("\\n"),
                (byte)'\t' => text.Append("\\t"),
                (byte)'\\' => text.Append("\\\\"),
                >= FirstPrintable and <= LastPrintable => text.Append((char)value),
                _ => text.Append(CultureInfo.InvariantCulture, $"\\x{value:X2}"),
            };
        }

        return text.ToString();
    }

    /// <summary>Reads such text; false where it holds anything else.</summary>
    public static bool TryUnescape(ReadOnlySpan<char> text, [NotNullWhen(true)] out byte[]? bytes)
    {
        bytes = null;
        var read = new List<byte>(text.Length);
        while (!text.IsEmpty)
        {
            if (!TryTake(text, out var value, out var length))
            {
                return false;
            }

            read.Add(value);
            text = text[length..];
        }

        bytes = [.. read];
        return true;
    }

    private static bool TryTake(ReadOnlySpan<char> text, out byte value, out int length)
    {
        (value, length) = ((byte)text[0], text[0] == '\\' ? 2 : 1);
        if (text[0] is < (char)FirstPrintable or > (char)LastPrintable || text.Length < length)
        {
            return false;
        }

        if (length == 1)
        {
            return true;
        }

        if (text[1] == 'x')
        {
            length = 4;
            return text.Length >= length && byte.TryParse(text[2..length], NumberStyles.AllowHexSpecifier, CultureInfo.InvariantCulture, out value);
        }

        value = text[1] switch { 'r' => (byte)'\r', 'n' => (byte)'\n', 't' => (byte)'\t', '\\' => (byte)'\\', _ => 0 };
        return value != 0;
    }
}
