using System.Globalization;
using Acquire.Service.Configuration;

namespace Acquire.Service.Sources.Serial;

/// <summary>Checks the checksum at the end of a line, and gives back the line without it. No allocation for a line that is right.</summary>
/// <param name="config">Which, where, how it is written.</param>
public sealed class LineChecksum(ChecksumConfig config)
{
    /// <summary>The checksum of some bytes, 0 to 0xFF or 0xFFFF.</summary>
    /// <param name="kind">Which.</param>
    /// <param name="bytes">What it covers.</param>
    public static int Compute(ChecksumKind kind, ReadOnlySpan<byte> bytes) => kind switch
    {
        ChecksumKind.Xor => Xor(bytes),
        ChecksumKind.Sum => Sum(bytes),
        ChecksumKind.SumComplement => -Sum(bytes) & 0xFF,
        ChecksumKind.Crc16Modbus => Modbus.Crc16.Of(bytes),
        ChecksumKind.Crc16Arc => Reflected(bytes, 0xA001),
        ChecksumKind.Crc16Kermit => Reflected(bytes, 0x8408),
        ChecksumKind.Crc16CcittFalse => Forward(bytes, 0xFFFF),
        ChecksumKind.Crc16Xmodem => Forward(bytes, 0),
        _ => throw new ArgumentOutOfRangeException(nameof(kind), kind, "is no checksum that is known"),
    };

    /// <summary>Takes the checksum off a line.</summary>
    /// <param name="line">The line without its end; afterwards what is left to be read.</param>
    /// <returns>Null where the checksum is right, else what it is and what is allowed.</returns>
    public string? Take(ref ReadOnlySpan<byte> line)
    {
        var end = config.Mark is { } mark ? line.LastIndexOf(mark) : line.Length - config.Digits;
        if (end < config.Skip)
        {
            return config.Mark is { } missing
                ? $"no \"{(char)missing}\" before a checksum; allowed: a line that ends with one"
                : string.Create(CultureInfo.InvariantCulture, $"{line.Length} characters; allowed: at least {config.Skip + config.Digits}, the last {config.Digits} the checksum");
        }

        var covered = line[config.Skip..(config.CoversMark ? end + 1 : end)];
        var digits = line[(config.Mark is null ? end : end + 1)..];
        if (!TryRead(digits, out var given))
        {
            return $"checksum \"{NumberText.Shown(digits)}\"; allowed: {AllowedDigits}";
        }

        var computed = Compute(config.Kind, covered);
        line = line[config.Skip..end];
        return given == computed ? null : $"checksum {Written(given)} where the line gives {Written(computed)}: bytes were lost or changed on the wire";
    }

    private string AllowedDigits => string.Create(CultureInfo.InvariantCulture, $"{(config.IsDecimal && config.Mark is not null ? "up to " : "")}{config.Digits} {(config.IsDecimal ? "decimal" : "hexadecimal")} digits");

    private string Written(int value) => config.IsDecimal
        ? value.ToString(CultureInfo.InvariantCulture)
        : Swap(value).ToString(config.Width == 1 ? "X2" : "X4", CultureInfo.InvariantCulture);

    private bool TryRead(ReadOnlySpan<byte> digits, out int value)
    {
        value = 0;
        var rightLength = config is { IsDecimal: true, Mark: not null } ? digits.Length is > 0 && digits.Length <= config.Digits : digits.Length == config.Digits;
        if (!rightLength || !int.TryParse(digits, config.IsDecimal ? NumberStyles.None : NumberStyles.AllowHexSpecifier, CultureInfo.InvariantCulture, out value))
        {
            return false;
        }

        value = config.IsDecimal ? value : Swap(value);
        return value >> (8 * config.Width) == 0;
    }

    private int Swap(int value) => config.LowByteFirst && config.Width == 2 ? ((value & 0xFF) << 8) | (value >> 8) : value;

    private static int Xor(ReadOnlySpan<byte> bytes)
    {
        var all = 0;
        foreach (var value in bytes)
        {
            all ^= value;
        }

        return all;
    }

    private static int Sum(ReadOnlySpan<byte> bytes)
    {
        var sum = 0;
        foreach (var value in bytes)
        {
            sum = (sum + value) & 0xFF;
        }

        return sum;
    }

    private static int Reflected(ReadOnlySpan<byte> bytes, int polynomial)
    {
        var crc = 0;
        foreach (var value in bytes)
        {
            crc ^= value;
            for (var bit = 0; bit < 8; bit++)
            {
                crc = (crc & 1) != 0 ? (crc >> 1) ^ polynomial : crc >> 1;
            }
        }

        return crc;
    }

    private static int Forward(ReadOnlySpan<byte> bytes, int begin)
    {
        var crc = begin;
        foreach (var value in bytes)
        {
            crc ^= value << 8;
            for (var bit = 0; bit < 8; bit++)
            {
                crc = ((crc & 0x8000) != 0 ? (crc << 1) ^ 0x1021 : crc << 1) & 0xFFFF;
            }
        }

        return crc;
    }
}
