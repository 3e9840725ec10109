using System.Buffers.Binary;
using Acquire.Service.Configuration;

namespace Acquire.Service.Sources.Modbus;

/// <summary>A request to read registers that follow each other: function 0x03 or 0x04 of the MODBUS Application Protocol Specification V1.1b3, 6.3 and 6.4.</summary>
/// <param name="UnitId">The unit that is asked.</param>
/// <param name="Table">Which registers.</param>
/// <param name="Address">The first, 0 to 65535.</param>
/// <param name="Count">How many, 1 to 125.</param>
public readonly record struct ReadRequest(byte UnitId, RegisterTable Table, int Address, int Count)
{
    /// <summary>Most registers of one request.</summary>
    public const int MostRegisters = 125;

    /// <summary>Length of the request without its frame, bytes.</summary>
    public const int PduBytes = 5;

    /// <summary>Code of the function.</summary>
    public byte Function => Table == RegisterTable.Holding ? (byte)0x03 : (byte)0x04;

    /// <summary>Length of the registers in the answer, bytes.</summary>
    public int DataBytes => 2 * Count;

    /// <summary>Writes the request without its frame, <see cref="PduBytes"/> bytes.</summary>
    public void WritePdu(Span<byte> pdu)
    {
        pdu[0] = Function;
        BinaryPrimitives.WriteUInt16BigEndian(pdu[1..], (ushort)Address);
        BinaryPrimitives.WriteUInt16BigEndian(pdu[3..], (ushort)Count);
    }
}
