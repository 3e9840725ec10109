using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using System.Text.Json.Serialization;
using Acquire.Core;

namespace Acquire.Simulator;

/// <summary>What can go wrong between a specimen thermometer and the tester's electronics.</summary>
[JsonConverter(typeof(JsonStringEnumConverter<SimulatedFaultKind>))]
public enum SimulatedFaultKind
{
    /// <summary>A wire is broken: the converter is driven to its full scale; a transmitter's loop carries nothing.</summary>
    [JsonStringEnumMemberName("open-circuit")]
    OpenCircuit,

    /// <summary>The wires touch: no emf, no resistance but that of the leads; the current of a loop is limited by its supply alone.</summary>
    [JsonStringEnumMemberName("short-circuit")]
    ShortCircuit,

    /// <summary>The wires are exchanged: the sign of a voltage or current is turned.</summary>
    [JsonStringEnumMemberName("reversed")]
    Reversed,

    /// <summary>The converter hangs: the last value is repeated.</summary>
    [JsonStringEnumMemberName("stuck")]
    Stuck,

    /// <summary>Single readings are wild, the first at the start and more about every 2 s; the rest are right.</summary>
    [JsonStringEnumMemberName("jump")]
    Jump,

    /// <summary>The signal stands at the high end of the converter.</summary>
    [JsonStringEnumMemberName("saturated")]
    Saturated,

    /// <summary>No thermometer readings; all else goes on.</summary>
    [JsonStringEnumMemberName("silent")]
    Silent,

    /// <summary>No temperature of the reference junction; the emf goes on.</summary>
    [JsonStringEnumMemberName("junction-silent")]
    JunctionSilent,

    /// <summary>The signal of a temperature that this tester cannot have.</summary>
    [JsonStringEnumMemberName("out-of-range")]
    OutOfRange,
}

/// <summary>A fault of the specimen thermometer for a time. The cup, the ramp and the test flame go on as if it were not there.</summary>
/// <param name="Kind">What goes wrong.</param>
/// <param name="StartSeconds">When it begins, s on the rows' own axis, 0 to 86,400.</param>
/// <param name="LengthSeconds">How long it lasts, s, 0.001 to 86,400.</param>
public sealed record SimulatedFault(SimulatedFaultKind Kind, double StartSeconds, double LengthSeconds)
{
    /// <summary>Longest start and length, s.</summary>
    public const double LongestSeconds = 86_400;

    private static readonly (string Word, SimulatedFaultKind Kind)[] Kinds =
    [
        ("open-circuit", SimulatedFaultKind.OpenCircuit),
        ("short-circuit", SimulatedFaultKind.ShortCircuit),
        ("reversed", SimulatedFaultKind.Reversed),
        ("stuck", SimulatedFaultKind.Stuck),
        ("jump", SimulatedFaultKind.Jump),
        ("saturated", SimulatedFaultKind.Saturated),
        ("silent", SimulatedFaultKind.Silent),
        ("junction-silent", SimulatedFaultKind.JunctionSilent),
        ("out-of-range", SimulatedFaultKind.OutOfRange),
    ];

    /// <summary>The kinds as words.</summary>
    public static string AllWords { get; } = string.Join(", ", Kinds.Select(kind => kind.Word));

    /// <summary>The kind as a word.</summary>
    [JsonIgnore]
    public string Word => Array.Find(Kinds, kind => kind.Kind == Kind).Word ?? "unknown";

    /// <summary>Whether the fault is there at a moment, s.</summary>
    internal bool IsAt(double seconds) => seconds >= StartSeconds && seconds < StartSeconds + LengthSeconds;

    /// <summary>Reads KIND:START:LENGTH, such as `stuck:600:90`: seconds with a decimal point.</summary>
    /// <param name="text">The text.</param>
    /// <param name="path">What the text is called in the error.</param>
    /// <param name="fault">The fault; ranges are for <see cref="SimulatorOptions.Check"/>.</param>
    /// <param name="error">What is wrong with the text.</param>
    public static bool TryParse(string? text, string path, [NotNullWhen(true)] out SimulatedFault? fault, [NotNullWhen(false)] out InputError? error)
    {
        fault = null;
        error = null;
        var parts = (text ?? "").Split(':');
        if (parts.Length != 3)
        {
            error = new(path, $"'{text}' is not KIND:START:LENGTH, such as stuck:600:90");
            return false;
        }

        var kind = Array.FindIndex(Kinds, known => known.Word == parts[0]);
        if (kind < 0)
        {
            error = new(path, $"'{parts[0]}' is no fault of a thermometer; there are {AllWords}");
            return false;
        }

        if (!TrySeconds(parts[1], out var start) || !TrySeconds(parts[2], out var length))
        {
            error = new(path, $"start and length in '{text}' are not both seconds with a decimal point, such as stuck:600:90");
            return false;
        }

        fault = new(Kinds[kind].Kind, start, length);
        return true;
    }

    private static bool TrySeconds(string text, out double seconds) =>
        double.TryParse(text, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out seconds) && double.IsFinite(seconds);
}
