using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using System.Text.Json.Serialization;
using Acquire.Core;
using Acquire.Core.Runs;

namespace Acquire.Simulator;

/// <summary>What a person at the cup can do wrong.</summary>
[JsonConverter(typeof(JsonStringEnumConverter<AnalystMistakeKind>))]
public enum AnalystMistakeKind
{
    /// <summary>The pass comes so many seconds later.</summary>
    [JsonStringEnumMemberName("late")]
    Late,

    /// <summary>The prompt is overlooked until the next application would be due.</summary>
    [JsonStringEnumMemberName("missed")]
    Missed,

    /// <summary>A wrong key is pressed, and nobody notices.</summary>
    [JsonStringEnumMemberName("wrong")]
    Wrong,

    /// <summary>A wrong key is pressed and taken back so many seconds later; then the right one.</summary>
    [JsonStringEnumMemberName("taken-back")]
    TakenBack,
}

/// <summary>One mistake.</summary>
/// <param name="Kind">What goes wrong.</param>
/// <param name="Application">At which application, from 1.</param>
/// <param name="Seconds">How much later the pass or the taking back is, s, 0 to 60; 0 for the other kinds.</param>
/// <param name="Key">Word of the wrong key; null for the other kinds.</param>
public sealed record AnalystMistake(AnalystMistakeKind Kind, int Application, double Seconds = 0, string? Key = null)
{
    private const double UsualBackSeconds = 3;

    /// <summary>How mistakes are written, for messages.</summary>
    public const string Forms = "late:APPLICATION:SECONDS, missed:APPLICATION, wrong:APPLICATION:KEY or taken-back:APPLICATION:KEY";

    private static readonly string[] Keys = [.. Enum.GetValues<Sighting>().Select(PersonEntryWords.Word)];

    /// <summary>What the wrong key says; null for the kinds without one.</summary>
    internal Sighting? Pressed => Array.IndexOf(Keys, Key) is >= 0 and var index ? (Sighting)index : null;

    /// <summary>Reads one of <see cref="Forms"/>, such as `late:5:12`.</summary>
    /// <param name="text">The text.</param>
    /// <param name="path">What the text is called in the error.</param>
    /// <param name="mistake">The mistake; ranges are for <see cref="SimulatorOptions.Check"/>.</param>
    /// <param name="error">What is wrong with the text.</param>
    public static bool TryParse(string? text, string path, [NotNullWhen(true)] out AnalystMistake? mistake, [NotNullWhen(false)] out InputError? error)
    {
        var parts = (text ?? "").Split(':');
        var whole = int.TryParse(parts.ElementAtOrDefault(1), NumberStyles.None, CultureInfo.InvariantCulture, out var application);
        mistake = (parts[0], parts.Length) switch
        {
            ("late", 3) when whole && double.TryParse(parts[2], NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out var seconds) => new(AnalystMistakeKind.Late, application, seconds),
            ("missed", 2) when whole => new(AnalystMistakeKind.Missed, application),
            ("wrong", 3) when whole && Keys.Contains(parts[2], StringComparer.Ordinal) => new(AnalystMistakeKind.Wrong, application, Key: parts[2]),
            ("taken-back", 3) when whole && Keys.Contains(parts[2], StringComparer.Ordinal) => new(AnalystMistakeKind.TakenBack, application, UsualBackSeconds, parts[2]),
            _ => null,
        };
        error = mistake is null ? new(path, $"'{text}' is not {Forms}; keys are {string.Join(", ", Keys)}") : null;
        return mistake is not null;
    }
}
