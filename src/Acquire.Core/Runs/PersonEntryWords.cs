using System.Globalization;
using System.Text.Json;

namespace Acquire.Core.Runs;

/// <summary>The entries of a person as lines of a file: see <see cref="PersonEntryReader"/>.</summary>
public static class PersonEntryWords
{
    /// <summary>Word of a fresh test portion.</summary>
    public const string Charged = "charged";

    /// <summary>Word of a withdrawal.</summary>
    public const string TakenBack = "taken-back";

    internal const string Time = "time_s";
    internal const string After = "after_reading_s";
    internal const string Entry = "entry";
    internal const string Person = "person";
    internal const string Volume = "millilitres";

    /// <summary>All columns there are.</summary>
    internal static readonly string[] Columns = [Time, After, Entry, Person, Volume];

    /// <summary>First line of such a file.</summary>
    public const string Header = $"{Time},{After},{Entry},{Person}";

    /// <summary>First line of such a file where portions were charged.</summary>
    public const string HeaderWithPortions = $"{Header},{Volume}";

    internal static IReadOnlyDictionary<string, Sighting> Sightings { get; } = Enum.GetValues<Sighting>().ToDictionary(Word, StringComparer.Ordinal);

    /// <summary>The words an entry may have, for messages.</summary>
    public static string Known { get; } = string.Join(", ", [.. Sightings.Keys, Charged, TakenBack]);

    /// <summary>The word of what was seen: lower case, joined by hyphens.</summary>
    public static string Word(Sighting seen) => JsonNamingPolicy.KebabCaseLower.ConvertName(seen.ToString());

    /// <summary>One line, without its end; every digit of the times is kept.</summary>
    public static string Line(PersonEntry entry)
    {
        ArgumentNullException.ThrowIfNull(entry);
        var word = entry switch { ObservationMade made => Word(made.Seen), PortionCharged => Charged, _ => TakenBack };
        return string.Create(CultureInfo.InvariantCulture, $"{entry.AtSeconds:R},{entry.ReadingSeconds:R},{word},{Quoted(entry.Person)}");
    }

    /// <summary>The same for a file with the column for volumes.</summary>
    public static string LineWithPortions(PersonEntry entry) =>
        string.Create(CultureInfo.InvariantCulture, $"{Line(entry)},{(entry as PortionCharged)?.Millilitres:R}");

    private static string? Quoted(string? person) =>
        person is not null && person.AsSpan().ContainsAny(',', '"') ? $"\"{person.Replace("\"", "\"\"", StringComparison.Ordinal)}\"" : person;
}
