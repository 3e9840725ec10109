using System.Buffers.Binary;
using Acquire.Service.Configuration;

namespace Acquire.Service.Sources.Modbus;

/// <summary>Makes numbers of registers. No IO, no state.</summary>
public static class RegisterValue
{
    /// <summary>The scaled number that some registers hold; may be infinite or not-a-number.</summary>
    /// <param name="registers">Its registers as sent, <see cref="RegisterConfig.Registers"/> times two bytes.</param>
    /// <param name="config">Type, orders, scale and offset.</param>
    public static double Read(ReadOnlySpan<byte> registers, RegisterConfig config)
    {
        ArgumentNullException.ThrowIfNull(config);
        Span<byte> ordered = stackalloc byte[8];
        ordered = ordered[..(2 * config.Registers)];
        Order(registers, config, ordered);
        return Scaled(Raw(ordered, config.Type), config.Scale) + config.Offset;
    }

    /// <summary>What one register says to yes or no; null where it is neither.</summary>
    /// <param name="registers">The register as sent, two bytes.</param>
    /// <param name="config">Order and bit.</param>
    public static bool? ReadYesOrNo(ReadOnlySpan<byte> registers, RegisterConfig config)
    {
        ArgumentNullException.ThrowIfNull(config);
        var value = config.LowByteFirst ? BinaryPrimitives.ReadUInt16LittleEndian(registers) : BinaryPrimitives.ReadUInt16BigEndian(registers);
        return (config.Bit is { } bit ? (value >> bit) & 1 : value) switch { 0 => false, 1 => true, _ => null };
    }

    private static void Order(ReadOnlySpan<byte> registers, RegisterConfig config, Span<byte> ordered)
    {
        for (var word = 0; word < config.Registers; word++)
        {
            var from = 2 * (config.LowWordFirst ? config.Registers - 1 - word : word);
            var (first, second) = config.LowByteFirst ? (1, 0) : (0, 1);
            ordered[2 * word] = registers[from + first];
            ordered[(2 * word) + 1] = registers[from + second];
        }
    }

    private static double Raw(ReadOnlySpan<byte> bytes, RegisterType type) => type switch
    {
        RegisterType.Int16 => BinaryPrimitives.ReadInt16BigEndian(bytes),
        RegisterType.UInt16 => BinaryPrimitives.ReadUInt16BigEndian(bytes),
        RegisterType.Int32 => BinaryPrimitives.ReadInt32BigEndian(bytes),
        RegisterType.UInt32 => BinaryPrimitives.ReadUInt32BigEndian(bytes),
        RegisterType.Int64 => BinaryPrimitives.ReadInt64BigEndian(bytes),
        RegisterType.UInt64 => BinaryPrimitives.ReadUInt64BigEndian(bytes),
        RegisterType.Float32 => BinaryPrimitives.ReadSingleBigEndian(bytes),
        _ => BinaryPrimitives.ReadDoubleBigEndian(bytes),
    };

    // 2153 times 0.1 is 215.3 and a bit; 2153 divided by 10 is the double nearest to 215.3, as a tester that sends text would be read.
    private static double Scaled(double raw, double scale)
    {
        var inverse = Math.Round(1 / scale);
        return Math.Abs(scale) < 1 && Math.Abs(inverse) <= 1e9 && 1 / inverse == scale ? raw / inverse : raw * scale;
    }
}
