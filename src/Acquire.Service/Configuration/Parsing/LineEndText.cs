using Acquire.Service.Sources;

namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads what ends a line: a word, or bytes.</summary>
internal static class LineEndText
{
    private const string Key = "lineEnd";
    private const int Longest = 8;

    private static readonly Dictionary<string, LineEnd> Words = new()
    {
        ["lf"] = LineEnd.LineFeed,
        ["cr"] = new("\r"u8.ToArray(), false),
        ["cr-lf"] = new("\r\n"u8.ToArray(), false),
    };

    public static LineEnd Read(ConfigObject source)
    {
        const string Allowed = "\"lf\" (LF or CR LF), \"cr\", \"cr-lf\", or 1 to 8 bytes without letters and digits, with escapes such as \"\\\\r\" or \"\\\\x03\"";
        var text = source.Text(Key, "lf", 4 * Longest, Allowed) ?? "lf";
        if (Words.TryGetValue(text, out var known))
        {
            return known;
        }

        // Letters and digits of a reading would end the line in its middle.
        if (WireText.TryUnescape(text, out var bytes) && bytes.Length is >= 1 and <= Longest && !Array.Exists(bytes, value => char.IsAsciiLetterOrDigit((char)value)))
        {
            return new(bytes, false);
        }

        var nearest = NearestKey.Find(text, Words.Keys);
        source.Refuse(Key, $"given \"{JsonText.Shown(text)}\"; allowed: {Allowed}{(nearest is null ? "" : $"; did you mean \"{nearest}\"?")}");
        return LineEnd.LineFeed;
    }
}
