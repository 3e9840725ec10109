using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using System.Text.Json.Serialization;
using Acquire.Core;

namespace Acquire.Simulator;

/// <summary>What can be wrong with a driven tester.</summary>
[JsonConverter(typeof(JsonStringEnumConverter<TesterFaultKind>))]
public enum TesterFaultKind
{
    /// <summary>It obeys, but never says which command.</summary>
    [JsonStringEnumMemberName("never-acknowledges")]
    NeverAcknowledges,

    /// <summary>The relay sticks: the heater never gets less than it was given then, or first after. The tester reports what the heater is given.</summary>
    [JsonStringEnumMemberName("stuck-relay")]
    StuckRelay,

    /// <summary>The test flame does not move.</summary>
    [JsonStringEnumMemberName("ignores-flame")]
    IgnoresFlame,

    /// <summary>Each command takes effect, and is acknowledged, so many seconds late; its lifetime counts from then.</summary>
    [JsonStringEnumMemberName("obeys-late")]
    ObeysLate,

    /// <summary>Such a share of the commands is lost.</summary>
    [JsonStringEnumMemberName("drops-commands")]
    DropsCommands,

    /// <summary>The thermometer hangs beside the cup, in the air of the room.</summary>
    [JsonStringEnumMemberName("thermometer-out")]
    ThermometerOut,
}

/// <summary>A fault of a driven tester, from a moment to the end.</summary>
/// <param name="Kind">What is wrong.</param>
/// <param name="StartSeconds">From when on, s on the rows' own axis, 0 to 86,400.</param>
/// <param name="Value">For <see cref="TesterFaultKind.ObeysLate"/> how late, s, 0.01 to 60; for <see cref="TesterFaultKind.DropsCommands"/> the share, 0.01 to 1; otherwise 0.</param>
public sealed record TesterFault(TesterFaultKind Kind, double StartSeconds, double Value = 0)
{
    private static readonly (string Word, TesterFaultKind Kind)[] Kinds =
    [
        ("never-acknowledges", TesterFaultKind.NeverAcknowledges),
        ("stuck-relay", TesterFaultKind.StuckRelay),
        ("ignores-flame", TesterFaultKind.IgnoresFlame),
        ("obeys-late", TesterFaultKind.ObeysLate),
        ("drops-commands", TesterFaultKind.DropsCommands),
        ("thermometer-out", TesterFaultKind.ThermometerOut),
    ];

    /// <summary>The kinds as words.</summary>
    public static string AllWords { get; } = string.Join(", ", Kinds.Select(kind => kind.Word));

    private bool NeedsValue => Kind is TesterFaultKind.ObeysLate or TesterFaultKind.DropsCommands;

    /// <summary>Reads KIND:START, or KIND:START:VALUE for those that need one: `stuck-relay:600`, `obeys-late:0:0.8`, `drops-commands:0:0.3`.</summary>
    /// <param name="text">The text.</param>
    /// <param name="path">What the text is called in the error.</param>
    /// <param name="fault">The fault; ranges are for <see cref="Check"/>.</param>
    /// <param name="error">What is wrong with the text.</param>
    public static bool TryParse(string? text, string path, [NotNullWhen(true)] out TesterFault? fault, [NotNullWhen(false)] out InputError? error)
    {
        (fault, error) = (null, null);
        var parts = (text ?? "").Split(':');
        var kind = Array.FindIndex(Kinds, known => known.Word == parts[0]);
        if (kind < 0)
        {
            error = new(path, $"'{parts[0]}' is no fault of a driven tester; there are {AllWords}");
            return false;
        }

        var value = 0.0;
        if (parts.Length is not (2 or 3) || !TryNumber(parts[1], out var start) || (parts.Length == 3 && !TryNumber(parts[2], out value)))
        {
            error = new(path, $"'{text}' is neither KIND:START nor KIND:START:VALUE with decimal points, such as stuck-relay:600 or obeys-late:0:0.8");
            return false;
        }

        fault = new(Kinds[kind].Kind, start, value);
        return true;
    }

    /// <summary>What is out of range.</summary>
    /// <param name="path">Where the fault came from.</param>
    public IReadOnlyList<InputError> Check(string path)
    {
        var errors = new List<InputError>();
        DrivenPlant.Within(errors, path + ".startSeconds", StartSeconds, 0, SimulatedFault.LongestSeconds);
        if (!NeedsValue)
        {
            DrivenPlant.Within(errors, path + ".value", Value, 0, 0);
        }
        else if (Kind == TesterFaultKind.ObeysLate)
        {
            DrivenPlant.Within(errors, path + ".value", Value, 0.01, 60);
        }
        else
        {
            DrivenPlant.Within(errors, path + ".value", Value, 0.01, 1);
        }

        return errors;
    }

    private static bool TryNumber(string text, out double value) =>
        double.TryParse(text, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out value) && double.IsFinite(value);
}
