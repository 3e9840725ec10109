using System.Globalization;
using Acquire.Service.Configuration;

namespace Acquire.Service.Sources.Modbus;

/// <summary>Frames of a serial line: unit, answer, checksum (MODBUS over Serial Line V1.02, 2.5.1). No IO, no state.</summary>
/// <remarks>
/// The specification ends a frame by silence. A computer with an adapter does not see silences that short, so an answer is
/// found by what is known of it: unit, function, length and checksum.
/// </remarks>
public static class RtuFrames
{
    /// <summary>Length of a request, bytes.</summary>
    public const int RequestBytes = ReadRequest.PduBytes + 3;

    /// <summary>Longest frame, bytes.</summary>
    public const int LongestBytes = 256;

    private const int ExceptionBytes = 5;
    private const double SilentCharacters = 3.5;
    private const int ShownBytes = 12;

    /// <summary>Length of the answer that is hoped for, bytes.</summary>
    public static int AnswerBytes(in ReadRequest request) => request.DataBytes + 5;

    /// <summary>Characters that a request, its answer and the silence before each take on the wire.</summary>
    public static double CharactersOnWire(in ReadRequest request) => RequestBytes + AnswerBytes(request) + (2 * SilentCharacters);

    /// <summary>The silence between frames, s: 3.5 characters, and 1.75 ms above 19,200 baud.</summary>
    public static double SilenceSeconds(PortSettings settings)
    {
        ArgumentNullException.ThrowIfNull(settings);
        return settings.BaudRate > 19_200 ? 0.00175 : settings.SecondsFor(SilentCharacters);
    }

    /// <summary>Writes a request, <see cref="RequestBytes"/> bytes.</summary>
    public static void Write(in ReadRequest request, Span<byte> frame)
    {
        frame[0] = request.UnitId;
        request.WritePdu(frame[1..]);
        var crc = Crc16.Of(frame[..(RequestBytes - 2)]);
        (frame[RequestBytes - 2], frame[RequestBytes - 1]) = ((byte)(crc & 0xFF), (byte)(crc >> 8));
    }

    /// <summary>Looks for the answer in what came since the request; null while it is not there.</summary>
    /// <param name="received">Everything that came.</param>
    /// <param name="request">What was asked.</param>
    /// <returns>The answer; an echo of the request before it is not counted as foreign.</returns>
    public static Exchange? Find(ReadOnlySpan<byte> received, in ReadRequest request)
    {
        var echo = EchoBytes(received, request);
        var answer = AnswerBytes(request);
        for (var start = 0; start + ExceptionBytes <= received.Length; start++)
        {
            var rest = received[start..];
            if (rest[0] != request.UnitId)
            {
                continue;
            }

            var length = rest[1] == (request.Function | AnswerPdu.ExceptionBit) ? ExceptionBytes
                : rest[1] == request.Function && rest[2] == request.DataBytes && rest.Length >= answer ? answer
                : 0;
            if (length > 0 && Crc16.Fits(rest[..length]))
            {
                return AnswerPdu.Read(rest[1..(length - 2)], request) with { ForeignBytes = Math.Max(0, start - echo) };
            }
        }

        return null;
    }

    /// <summary>Says what came instead of an answer; null where nothing came, or only an echo.</summary>
    /// <param name="received">Everything that came since the request.</param>
    /// <param name="request">What was asked.</param>
    public static string? Explain(ReadOnlySpan<byte> received, in ReadRequest request)
    {
        received = received[EchoBytes(received, request)..];
        if (received.IsEmpty)
        {
            return null;
        }

        if (received.Length is >= ExceptionBytes and <= LongestBytes && Crc16.Fits(received))
        {
            return received[0] != request.UnitId
                ? string.Create(CultureInfo.InvariantCulture, $"unit {received[0]} answered; allowed: the unit that was asked, {request.UnitId}")
                : AnswerPdu.Read(received[1..^2], request) is Exchange.Nonsense nonsense ? nonsense.What : null;
        }

        var shown = Convert.ToHexString(received[..Math.Min(received.Length, ShownBytes)]) + (received.Length > ShownBytes ? "…" : "");
        return string.Create(CultureInfo.InvariantCulture, $"{received.Length} bytes with no checksum that fits ({shown}): noise, two units with one number, or another baudRate, parity or stopBits");
    }

    // An adapter that hears itself gives the request back before the answer.
    private static int EchoBytes(ReadOnlySpan<byte> received, in ReadRequest request)
    {
        Span<byte> sent = stackalloc byte[RequestBytes];
        Write(request, sent);
        return received.StartsWith(sent) ? RequestBytes : 0;
    }
}
