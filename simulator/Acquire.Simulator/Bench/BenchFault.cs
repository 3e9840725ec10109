using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using System.Text.Json.Serialization;
using Acquire.Core;

namespace Acquire.Simulator;

/// <summary>What can go wrong beside the cup.</summary>
[JsonConverter(typeof(JsonStringEnumConverter<BenchFaultKind>))]
public enum BenchFaultKind
{
    /// <summary>The stirrer goes on turning while the test flame is applied.</summary>
    [JsonStringEnumMemberName("stirrer-on")]
    StirrerOn,

    /// <summary>The stirrer stands.</summary>
    [JsonStringEnumMemberName("stirrer-stands")]
    StirrerStands,

    /// <summary>The stirrer turns half as fast again as the method's band allows.</summary>
    [JsonStringEnumMemberName("stirrer-fast")]
    StirrerFast,

    /// <summary>The test flame is out: passes over the cup light nothing and show nothing.</summary>
    [JsonStringEnumMemberName("flame-out")]
    FlameOut,

    /// <summary>A draught of about 0.8 m/s.</summary>
    [JsonStringEnumMemberName("draught")]
    Draught,

    /// <summary>The room warms steadily by 6 °C in all, and stays so.</summary>
    [JsonStringEnumMemberName("room-warms")]
    RoomWarms,
}

/// <summary>A fault beside the cup for a time.</summary>
/// <param name="Kind">What goes wrong.</param>
/// <param name="StartSeconds">When it begins, s on the rows' own axis, 0 to 86,400.</param>
/// <param name="LengthSeconds">How long it lasts, s, 0.001 to 86,400.</param>
public sealed record BenchFault(BenchFaultKind Kind, double StartSeconds, double LengthSeconds)
{
    private static readonly (string Word, BenchFaultKind Kind)[] Kinds =
    [
        ("stirrer-on", BenchFaultKind.StirrerOn),
        ("stirrer-stands", BenchFaultKind.StirrerStands),
        ("stirrer-fast", BenchFaultKind.StirrerFast),
        ("flame-out", BenchFaultKind.FlameOut),
        ("draught", BenchFaultKind.Draught),
        ("room-warms", BenchFaultKind.RoomWarms),
    ];

    /// <summary>The kinds as words.</summary>
    public static string AllWords { get; } = string.Join(", ", Kinds.Select(kind => kind.Word));

    /// <summary>The kind as a word.</summary>
    [JsonIgnore]
    public string Word => Array.Find(Kinds, kind => kind.Kind == Kind).Word ?? "unknown";

    /// <summary>Whether the fault is there at a moment, s.</summary>
    internal bool IsAt(double seconds) => seconds >= StartSeconds && seconds < StartSeconds + LengthSeconds;

    /// <summary>Reads KIND:START:LENGTH, such as `draught:600:90`: seconds with a decimal point.</summary>
    /// <param name="text">The text.</param>
    /// <param name="path">What the text is called in the error.</param>
    /// <param name="fault">The fault; ranges are for <see cref="SimulatorOptions.Check"/>.</param>
    /// <param name="error">What is wrong with the text.</param>
    public static bool TryParse(string? text, string path, [NotNullWhen(true)] out BenchFault? fault, [NotNullWhen(false)] out InputError? error)
    {
        (fault, error) = (null, null);
        var parts = (text ?? "").Split(':');
        var kind = Array.FindIndex(Kinds, known => known.Word == parts[0]);
        if (parts.Length != 3 || kind < 0)
        {
            error = new(path, $"'{text}' is not KIND:START:LENGTH, such as draught:600:90; kinds: {AllWords}");
        }
        else if (!TrySeconds(parts[1], out var start) || !TrySeconds(parts[2], out var length))
        {
            error = new(path, $"start and length in '{text}' are not both seconds with a decimal point, such as draught:600:90");
        }
        else
        {
            fault = new(Kinds[kind].Kind, start, length);
        }

        return fault is not null;
    }

    private static bool TrySeconds(string text, out double seconds) =>
        double.TryParse(text, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out seconds) && double.IsFinite(seconds);
}
