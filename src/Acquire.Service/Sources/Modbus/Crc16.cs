namespace Acquire.Service.Sources.Modbus;

/// <summary>The checksum of MODBUS over Serial Line V1.02, 6.2.2: polynomial 0xA001 reflected, begun with 0xFFFF, sent low byte first.</summary>
public static class Crc16
{
    private static readonly ushort[] Table = [.. Enumerable.Range(0, 256).Select(Entry)];

    /// <summary>The checksum of some bytes.</summary>
    public static ushort Of(ReadOnlySpan<byte> bytes)
    {
        var crc = 0xFFFF;
        foreach (var value in bytes)
        {
            crc = (crc >> 8) ^ Table[(crc ^ value) & 0xFF];
        }

        return (ushort)crc;
    }

    /// <summary>Whether the last two of some bytes are the checksum of those before.</summary>
    public static bool Fits(ReadOnlySpan<byte> frame) =>
        frame.Length > 2 && Of(frame[..^2]) is var crc && frame[^2] == (byte)(crc & 0xFF) && frame[^1] == crc >> 8;

    private static ushort Entry(int value)
    {
        for (var bit = 0; bit < 8; bit++)
        {
            value = (value & 1) != 0 ? (value >> 1) ^ 0xA001 : value >> 1;
        }

        return (ushort)value;
    }
}
