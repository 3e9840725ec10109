namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads the checksum of lines.</summary>
internal static class ChecksumSection
{
    private static readonly Dictionary<string, ChecksumKind> Kinds = new()
    {
        ["xor"] = ChecksumKind.Xor,
        ["sum-256"] = ChecksumKind.Sum,
        ["sum-256-complement"] = ChecksumKind.SumComplement,
        ["crc16-modbus"] = ChecksumKind.Crc16Modbus,
        ["crc16-arc"] = ChecksumKind.Crc16Arc,
        ["crc16-ccitt-false"] = ChecksumKind.Crc16CcittFalse,
        ["crc16-xmodem"] = ChecksumKind.Crc16Xmodem,
        ["crc16-kermit"] = ChecksumKind.Crc16Kermit,
    };

    private static readonly Dictionary<string, bool> Writings = new() { ["hex"] = false, ["decimal"] = true };
    private static readonly Dictionary<string, bool> Orders = new() { ["high-first"] = false, ["low-first"] = true };

    public static ChecksumConfig? Read(ConfigObject? section)
    {
        if (section is null)
        {
            return null;
        }

        section.TryChoice("kind", Kinds, null, out var kind);
        section.TryChoice("digits", Writings, "hex", out var isDecimal);
        section.TryChoice("byteOrder", Orders, "high-first", out var lowFirst);
        var config = new ChecksumConfig(kind, section.Whole("skip", 0, 16, 0), ReadMark(section), section.Flag("coversMark"), isDecimal, lowFirst);
        if (config is { CoversMark: true, Mark: null })
        {
            section.Refuse("coversMark", "is true where there is no mark; allowed: with the key \"mark\"");
        }

        if (lowFirst && (isDecimal || config.Width == 1))
        {
            section.Refuse("byteOrder", "given \"low-first\"; allowed: only for a crc16 in hexadecimal digits, which has two bytes");
        }

        section.RefuseUnknownKeys();
        return config;
    }

    private static byte? ReadMark(ConfigObject section)
    {
        const string Allowed = "one character of printable ASCII that is no letter or digit, such as \"*\"";
        if (!section.Has("mark") || section.Text("mark", null, 40, Allowed) is not { } text)
        {
            return null;
        }

        if (text.Length == 1 && text[0] is > ' ' and <= '~' && !char.IsAsciiLetterOrDigit(text[0]))
        {
            return (byte)text[0];
        }

        section.Refuse("mark", $"given \"{JsonText.Shown(text)}\"; allowed: {Allowed}");
        return null;
    }
}
