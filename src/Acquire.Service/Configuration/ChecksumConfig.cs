namespace Acquire.Service.Configuration;

/// <summary>Checksums that lines of text carry.</summary>
public enum ChecksumKind
{
    /// <summary>All bytes by exclusive or.</summary>
    Xor,

    /// <summary>Sum of all bytes modulo 256.</summary>
    Sum,

    /// <summary>What must be added to that sum to make it 0 modulo 256.</summary>
    SumComplement,

    /// <summary>Polynomial 0x8005 reflected, begun with 0xFFFF.</summary>
    Crc16Modbus,

    /// <summary>Polynomial 0x8005 reflected, begun with 0.</summary>
    Crc16Arc,

    /// <summary>Polynomial 0x1021, begun with 0xFFFF.</summary>
    Crc16CcittFalse,

    /// <summary>Polynomial 0x1021, begun with 0.</summary>
    Crc16Xmodem,

    /// <summary>Polynomial 0x1021 reflected, begun with 0.</summary>
    Crc16Kermit,
}

/// <summary>The checksum at the end of each line, and which of its bytes it covers.</summary>
/// <param name="Kind">How it is computed.</param>
/// <param name="Skip">Bytes at the start of a line that are neither covered nor read, such as a start character; 0 to 16.</param>
/// <param name="Mark">The byte between what is covered and the checksum; null where there is none.</param>
/// <param name="CoversMark">Whether the mark is covered too.</param>
/// <param name="IsDecimal">Whether it is written in decimal digits; else in hexadecimal ones.</param>
/// <param name="LowByteFirst">Whether the low byte of a checksum of two bytes is written first; hexadecimal only.</param>
public sealed record ChecksumConfig(ChecksumKind Kind, int Skip, byte? Mark, bool CoversMark, bool IsDecimal, bool LowByteFirst)
{
    /// <summary>Bytes of the checksum: 1 or 2.</summary>
    public int Width => Kind is ChecksumKind.Xor or ChecksumKind.Sum or ChecksumKind.SumComplement ? 1 : 2;

    /// <summary>How many digits it has where no mark says where it begins: all of them, with zeros in front.</summary>
    public int Digits => IsDecimal ? (Width == 1 ? 3 : 5) : 2 * Width;
}
