using System.Buffers;
using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using System.IO.Hashing;
using System.Text;

namespace Acquire.Core.Control;

/// <summary>A <see cref="DriveCommand"/> as it stands on a serial line and in an MQTT message.</summary>
/// <remarks>
/// Line: `D,sequence,lifetime,heater,flame,stirrer,checksum` and a line feed. The checksum is the CRC-32 of IEEE 802.3 over
/// everything before the last comma, as eight upper-case hexadecimal digits: a line that was damaged on the wire is no command.
/// </remarks>
public static partial class DriveText
{
    /// <summary>Longest line that can be a command, bytes, with its line end.</summary>
    public const int LongestLineBytes = 80;

    private const int Fields = 7, ChecksumDigits = 8;
    private static readonly SearchValues<byte> HexDigits = SearchValues.Create("0123456789ABCDEF"u8);
    private static readonly SearchValues<byte> HeaterBytes = SearchValues.Create("0123456789."u8);

    /// <summary>The serial line, ASCII, with its line feed.</summary>
    /// <param name="command">The command.</param>
    /// <exception cref="ArgumentOutOfRangeException">A figure is outside its range: whoever made the command let it through.</exception>
    public static string ToLine(DriveCommand command)
    {
        ThrowIfOutside(command);
        var text = string.Create(CultureInfo.InvariantCulture,
            $"D,{command.Sequence},{command.LifetimeMilliseconds},{command.HeaterFraction:F4},{(command.FlameOver ? 1 : 0)},{(command.StirrerOn ? 1 : 0)}");
        return string.Create(CultureInfo.InvariantCulture, $"{text},{Crc32.HashToUInt32(Encoding.ASCII.GetBytes(text)):X8}\n");
    }

    /// <summary>Reads a serial line, with or without its line end.</summary>
    /// <param name="line">The bytes of the line.</param>
    /// <param name="command">The command; null on failure.</param>
    /// <param name="error">The field and what it may hold; null on success.</param>
    public static bool TryParseLine(ReadOnlySpan<byte> line, [NotNullWhen(true)] out DriveCommand? command, [NotNullWhen(false)] out InputError? error)
    {
        (command, error) = (null, null);
        line = line.TrimEnd("\r\n"u8);
        Span<Range> fields = stackalloc Range[Fields + 1];
        if (line.Length > LongestLineBytes || !line.StartsWith("D,"u8) || Split(line, fields) != Fields)
        {
            error = new("line", $"is not `D` and six fields behind it, in at most {LongestLineBytes} bytes");
            return false;
        }

        if (!HasItsChecksum(line, fields[6]))
        {
            error = new("checksum", $"is not the CRC-32 of what stands before it, as {ChecksumDigits} upper-case hexadecimal digits");
            return false;
        }

        return TryParseFields(line, fields, out command, out error);
    }

    private static bool TryParseFields(ReadOnlySpan<byte> line, ReadOnlySpan<Range> fields, [NotNullWhen(true)] out DriveCommand? command, [NotNullWhen(false)] out InputError? error)
    {
        error = !TryWhole(line[fields[1]], 0, long.MaxValue, out var sequence) ? Outside("sequence", "a whole number from 0 on, without sign") : null;
        var lifetimes = TryWhole(line[fields[2]], DriveCommand.ShortestLifetimeMilliseconds, DriveCommand.LongestLifetimeMilliseconds, out var lifetime);
        error ??= lifetimes ? null : Outside("lifetime", AllowedLifetime);
        var heats = TryHeater(line[fields[3]], out var heater);
        error ??= heats ? null : Outside("heater", "a number from 0 to 1 such as 0.3750");
        var flames = TryFlag(line[fields[4]], out var flame);
        error ??= flames ? null : Outside("flame", "0 or 1");
        var stirs = TryFlag(line[fields[5]], out var stirrer);
        error ??= stirs ? null : Outside("stirrer", "0 or 1");
        command = error is null ? new(sequence, (int)lifetime, heater, flame, stirrer) : null;
        return command is not null;
    }

    private static InputError Outside(string field, string allowed) => new(field, $"is outside its range; allowed: {allowed}");

    private static string AllowedLifetime => string.Create(CultureInfo.InvariantCulture,
        $"a whole number from {DriveCommand.ShortestLifetimeMilliseconds} to {DriveCommand.LongestLifetimeMilliseconds} ms");

    private static void ThrowIfOutside(DriveCommand command)
    {
        ArgumentNullException.ThrowIfNull(command);
        if (command.Sequence < 0 || !(command.HeaterFraction is >= 0 and <= 1)
            || command.LifetimeMilliseconds is < DriveCommand.ShortestLifetimeMilliseconds or > DriveCommand.LongestLifetimeMilliseconds)
        {
            throw new ArgumentOutOfRangeException(nameof(command), $"{command} must not be sent.");
        }
    }

    private static int Split(ReadOnlySpan<byte> line, Span<Range> fields)
    {
        var count = 0;
        foreach (var field in line.Split((byte)','))
        {
            if (count == fields.Length)
            {
                return count;
            }

            fields[count++] = field;
        }

        return count;
    }

    private static bool HasItsChecksum(ReadOnlySpan<byte> line, Range field)
    {
        var given = line[field];
        var isHex = given.Length == ChecksumDigits && given.IndexOfAnyExcept(HexDigits) < 0;
        return isHex
            && uint.TryParse(given, NumberStyles.AllowHexSpecifier, CultureInfo.InvariantCulture, out var sum)
            && sum == Crc32.HashToUInt32(line[..(line.Length - ChecksumDigits - 1)]);
    }

    private static bool TryWhole(ReadOnlySpan<byte> text, long least, long most, out long value) =>
        long.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out value) && value >= least && value <= most;

    // Digits and a point only: no sign, no exponent, no word.
    private static bool TryHeater(ReadOnlySpan<byte> text, out double value)
    {
        value = 0;
        return text.IndexOfAnyExcept(HeaterBytes) < 0
            && double.TryParse(text, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out value)
            && value is >= 0 and <= 1;
    }

    private static bool TryFlag(ReadOnlySpan<byte> text, out bool value)
    {
        value = text is [(byte)'1'];
        return value || text is [(byte)'0'];
    }
}
