using System.Buffers.Binary;
using System.Globalization;

namespace Acquire.Service.Sources.Modbus;

/// <summary>What stands at the beginning of the bytes of a connection.</summary>
public enum TcpFrameKind
{
    /// <summary>Not all of a frame yet.</summary>
    Partial,

    /// <summary>A frame.</summary>
    Whole,

    /// <summary>No frame; where the next begins cannot be known.</summary>
    Broken,
}

/// <summary>A frame of a connection.</summary>
/// <param name="Kind">Whether it is one.</param>
/// <param name="Length">Its length with its header, bytes.</param>
/// <param name="TransactionId">Number of the request that it answers.</param>
/// <param name="UnitId">Unit that sent it.</param>
public readonly record struct TcpFrame(TcpFrameKind Kind, int Length, ushort TransactionId, byte UnitId);

/// <summary>Frames over the network: transaction, protocol, length and unit before the answer (MODBUS Messaging on TCP/IP V1.0b, 3.1.3). No IO, no state.</summary>
public static class TcpFrames
{
    /// <summary>Length of what stands before an answer, bytes.</summary>
    public const int HeaderBytes = 7;

    /// <summary>Length of a request, bytes.</summary>
    public const int RequestBytes = HeaderBytes + ReadRequest.PduBytes;

    /// <summary>Longest frame, bytes.</summary>
    public const int LongestBytes = HeaderBytes + AnswerPdu.LongestBytes;

    // The length counts the unit and what follows it.
    private const int LengthEnd = 6;
    private const int ShortestLength = 2;

    /// <summary>Writes a request, <see cref="RequestBytes"/> bytes.</summary>
    public static void Write(ushort transactionId, in ReadRequest request, Span<byte> frame)
    {
        BinaryPrimitives.WriteUInt16BigEndian(frame, transactionId);
        BinaryPrimitives.WriteUInt16BigEndian(frame[2..], 0);
        BinaryPrimitives.WriteUInt16BigEndian(frame[4..], ReadRequest.PduBytes + 1);
        frame[LengthEnd] = request.UnitId;
        request.WritePdu(frame[HeaderBytes..]);
    }

    /// <summary>Looks at the beginning of what came.</summary>
    public static TcpFrame Look(ReadOnlySpan<byte> received)
    {
        if (received.Length < HeaderBytes)
        {
            return new(TcpFrameKind.Partial, 0, 0, 0);
        }

        var length = BinaryPrimitives.ReadUInt16BigEndian(received[4..]);
        if (BinaryPrimitives.ReadUInt16BigEndian(received[2..]) != 0 || length < ShortestLength || length > LongestBytes - LengthEnd)
        {
            return new(TcpFrameKind.Broken, 0, 0, 0);
        }

        return received.Length < LengthEnd + length
            ? new(TcpFrameKind.Partial, 0, 0, 0)
            : new(TcpFrameKind.Whole, LengthEnd + length, BinaryPrimitives.ReadUInt16BigEndian(received), received[LengthEnd]);
    }

    /// <summary>What a whole frame says to a request of the same transaction.</summary>
    /// <param name="frame">The frame, header and all.</param>
    /// <param name="request">What was asked.</param>
    public static Exchange Read(ReadOnlySpan<byte> frame, in ReadRequest request) => frame[LengthEnd] == request.UnitId
        ? AnswerPdu.Read(frame[HeaderBytes..], request)
        : new Exchange.Nonsense(string.Create(CultureInfo.InvariantCulture, $"unit {frame[LengthEnd]} answered; allowed: the unit that was asked, {request.UnitId}"));
}
