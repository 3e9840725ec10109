using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using System.Text;

namespace Acquire.Service.Sources.Capture;

/// <summary>What happened on a wire.</summary>
public enum WireEvent
{
    /// <summary>The port was opened.</summary>
    Opened,

    /// <summary>Bytes came.</summary>
    In,

    /// <summary>Bytes were sent.</summary>
    Out,

    /// <summary>The port was lost, or could not be opened.</summary>
    Lost,

    /// <summary>A message came: its topic, a zero byte, and its payload.</summary>
    Message,
}

/// <summary>One record of a file that keeps what went over a wire: a line of text, described in docs/devices.md.</summary>
/// <param name="AtMicroseconds">Since the beginning of the file, on a clock that no change of the time of day moves; 0 or above.</param>
/// <param name="Event">What happened.</param>
/// <param name="Bytes">The bytes that came or were sent; for a loss its cause in ASCII, for a message topic, zero byte and payload.</param>
public sealed record WireRecord(long AtMicroseconds, WireEvent Event, ReadOnlyMemory<byte> Bytes)
{
    /// <summary>The first line of every file: name and version.</summary>
    public const string Header = "acquire-wire 1";

    /// <summary>The most bytes of one record.</summary>
    public const int MostBytes = 4096;

    /// <summary>The most bytes of a message with its topic: a payload as large as one that is read.</summary>
    public const int MostMessageBytes = Mqtt.ReadingDispatcher.LargestPayloadBytes + 65_536;

    private const string Allowed = "MICROSECONDS, then \"opened\", \"in BYTES\", \"out BYTES\", \"message TOPIC, ZERO BYTE AND PAYLOAD\" or \"lost CAUSE\"";

    private static readonly Dictionary<string, WireEvent> Words = new()
    {
        ["opened"] = WireEvent.Opened,
        ["in"] = WireEvent.In,
        ["out"] = WireEvent.Out,
        ["lost"] = WireEvent.Lost,
        ["message"] = WireEvent.Message,
    };

    /// <summary>What happened as records: bytes that are more than one may hold are several, of the same time. A message is never cut in two.</summary>
    internal static IEnumerable<WireRecord> Of(long atMicroseconds, WireEvent what, ReadOnlyMemory<byte> bytes)
    {
        if (what == WireEvent.Message)
        {
            // What is larger was refused unread; its beginning says what it was.
            yield return new(atMicroseconds, what, bytes[..Math.Min(bytes.Length, MostMessageBytes)]);
            yield break;
        }

        for (var start = 0; start == 0 || start < bytes.Length; start += MostBytes)
        {
            yield return new(atMicroseconds, what, bytes[start..Math.Min(bytes.Length, start + MostBytes)]);
        }
    }

    /// <summary>The record as a line, without its end.</summary>
    public string ToLine()
    {
        var word = Words.First(pair => pair.Value == Event).Key;
        return string.Create(CultureInfo.InvariantCulture, $"{AtMicroseconds} {word}{(Bytes.IsEmpty ? "" : " ")}{WireText.Escape(Bytes.Span)}");
    }

    /// <summary>Reads a line.</summary>
    /// <param name="line">The line, without its end.</param>
    /// <param name="record">The record; null after a mistake.</param>
    /// <param name="mistake">What it held and what is allowed; null where it was right.</param>
    public static bool TryParse(string line, [NotNullWhen(true)] out WireRecord? record, [NotNullWhen(false)] out string? mistake)
    {
        ArgumentNullException.ThrowIfNull(line);
        (record, mistake) = (null, null);
        var parts = line.Split(' ', 3);
        if (!long.TryParse(parts[0], NumberStyles.None, CultureInfo.InvariantCulture, out var at) || parts.Length < 2 || !Words.TryGetValue(parts[1], out var word))
        {
            mistake = $"given \"{JsonShown(line)}\"; allowed: {Allowed}";
            return false;
        }

        var bytes = Array.Empty<byte>();
        if (parts.Length == 3 && !WireText.TryUnescape(parts[2], out bytes!))
        {
            mistake = $"given \"{JsonShown(parts[2])}\"; allowed: bytes as {WireText.Allowed}";
            return false;
        }

        var most = word == WireEvent.Message ? MostMessageBytes : MostBytes;
        if (bytes.Length > most || (bytes.Length == 0) != (word == WireEvent.Opened))
        {
            mistake = string.Create(CultureInfo.InvariantCulture, $"given {bytes.Length} bytes; allowed: none after \"opened\", else 1 to {most}");
            return false;
        }

        if (word == WireEvent.Message && !bytes.Contains((byte)0))
        {
            mistake = "given a message without a zero byte between topic and payload; allowed: such as a/b\\x0021.5";
            return false;
        }

        record = new(at, word, bytes);
        return true;
    }

    /// <summary>A message as bytes: topic, zero byte, payload. A topic holds no zero byte (MQTT 5.0, 1.5.4).</summary>
    internal static byte[] Message(string topic, ReadOnlySpan<byte> payload) => [.. Encoding.UTF8.GetBytes(topic), 0, .. payload];

    /// <summary>The cause of a loss as bytes: ASCII, not longer than a record may be.</summary>
    internal static byte[] Cause(string text) => Encoding.ASCII.GetBytes(text.Length is 0 or > MostBytes ? "unknown" : text);

    private static string JsonShown(string text) => Configuration.JsonText.Shown(text);
}
