using System.Globalization;

namespace Acquire.Service.Sources.Modbus;

/// <summary>Reads an answer that was taken out of its frame. No IO, no state.</summary>
public static class AnswerPdu
{
    /// <summary>Set in the function code of an answer that is an exception.</summary>
    public const byte ExceptionBit = 0x80;

    /// <summary>Longest request or answer without its frame, bytes (V1.1b3, 4.1).</summary>
    public const int LongestBytes = 253;

    /// <summary>What an answer says to a request.</summary>
    /// <param name="pdu">The answer: function and what follows it.</param>
    /// <param name="request">What was asked.</param>
    public static Exchange Read(ReadOnlySpan<byte> pdu, in ReadRequest request)
    {
        if (pdu.Length < 2)
        {
            return new Exchange.Nonsense(string.Create(CultureInfo.InvariantCulture, $"an answer of {pdu.Length} bytes; allowed: at least 2"));
        }

        if (pdu[0] == (request.Function | ExceptionBit))
        {
            return pdu.Length == 2 ? new Exchange.Refused(pdu[1]) : new Exchange.Nonsense(string.Create(CultureInfo.InvariantCulture, $"an exception of {pdu.Length} bytes; allowed: 2"));
        }

        if (pdu[0] != request.Function)
        {
            return new Exchange.Nonsense(string.Create(CultureInfo.InvariantCulture, $"function 0x{pdu[0]:X2}; allowed: the one that was asked for, 0x{request.Function:X2}"));
        }

        return pdu[1] == request.DataBytes && pdu.Length == 2 + request.DataBytes
            ? new Exchange.Registers(pdu[2..].ToArray())
            : new Exchange.Nonsense(string.Create(CultureInfo.InvariantCulture, $"{pdu.Length - 2} bytes of registers, said to be {pdu[1]}; allowed: the {request.DataBytes} that were asked for"));
    }
}
