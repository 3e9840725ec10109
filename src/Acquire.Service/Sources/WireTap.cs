using Acquire.Core;
using Acquire.Core.Readings;

namespace Acquire.Service.Sources;

/// <summary>Listens to what goes over a wire. Called by the reader of the wire, one call at a time for each direction: be quick, and keep nothing that is handed over.</summary>
public sealed record WireTap
{
    /// <summary>Told that the port was opened.</summary>
    public Action? Opened { get; init; }

    /// <summary>Told why the port could not be opened, or was lost.</summary>
    public Action<string>? Fault { get; init; }

    /// <summary>Told the bytes that came, as they came.</summary>
    public Action<ReadOnlyMemory<byte>>? Received { get; init; }

    /// <summary>Told the messages that came, with their topics.</summary>
    public Action<string, ReadOnlyMemory<byte>>? Message { get; init; }

    /// <summary>Told the bytes that were sent.</summary>
    public Action<ReadOnlyMemory<byte>>? Sent { get; init; }

    /// <summary>Told each line, message or answer and what became of it.</summary>
    public Action<TappedLine>? Line { get; init; }
}

/// <summary>A line and what became of it.</summary>
/// <param name="Text">The line without its end, the payload of a message, or the registers of an answer in hexadecimal digits; valid during the call only.</param>
/// <param name="Row">The row; null where it was refused, or nothing is read out of lines.</param>
/// <param name="Error">Why it was refused.</param>
public readonly record struct TappedLine(ReadOnlyMemory<byte> Text, ReadingRow? Row, InputError? Error);
