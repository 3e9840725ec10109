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
}

/// <summary>One record of a file that keeps what went over a wire: a line of text, described in docs/devices.md.</summary>
/// <param name="AtMicroseconds">Since the beginning of the file, on a clock that no change of the time of day moves; 0 or above.</param>
/// <param name="Event">What happened.</param>
/// <param name="Bytes">The bytes that came or were sent; for a loss its cause in ASCII.</param>
public sealed record WireRecord(long AtMicroseconds, WireEvent Event, ReadOnlyMemory<byte> Bytes)
{
    /// <summary>The first line of every file: name and version.</summary>
    public const string Header = "acquire-wire 1";

    /// <summary>The most bytes of one record.</summary>
    public const int MostBytes = 4096;

    private const string Allowed = "MICROSECONDS, then \"opened\", \"in BYTES\", \"out BYTES\" or \"lost CAUSE\"";

    private static readonly Dictionary<string, WireEvent> Words = new()
    {
        ["opened"] = WireEvent.Opened,
        ["in"] = WireEvent.In,
        ["out"] = WireEvent.Out,
        ["lost"] = WireEvent.Lost,
    };

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

        if (bytes.Length > MostBytes || (bytes.Length == 0) != (word == WireEvent.Opened))
        {
            mistake = string.Create(CultureInfo.InvariantCulture, $"given {bytes.Length} bytes; allowed: none after \"opened\", else 1 to {MostBytes}");
            return false;
        }

        record = new(at, word, bytes);
        return true;
    }

    /// <summary>The cause of a loss as bytes: ASCII, not longer than a record may be.</summary>
    internal static byte[] Cause(string text) => Encoding.ASCII.GetBytes(text.Length is 0 or > MostBytes ? "unknown" : text);

    private static string JsonShown(string text) => Configuration.JsonText.Shown(text);
}
