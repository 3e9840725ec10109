using System.Globalization;

namespace Acquire.Core.Runs;

/// <summary>The entries of a person as read from a file, or what is wrong with it.</summary>
/// <param name="Entries">In the order of the file; empty where there are errors.</param>
/// <param name="Errors">Each with file, line and column; at most <see cref="Readings.TraceReader.MostErrors"/>.</param>
public sealed record PersonEntries(IReadOnlyList<PersonEntry> Entries, IReadOnlyList<InputError> Errors);

/// <summary>Reads what a person entered in a guided run: CSV with a header, columns by name in any order.</summary>
/// <remarks>
/// `time_s` (s on the axis of the readings) and `entry` (a <see cref="Sighting"/> in lower case with hyphens, `charged` for
/// a fresh test portion, or `taken-back`, which takes back the entry before it) are needed. `after_reading_s` is the time of the reading that the entry stands directly after; an empty field
/// says that none had come, and without the column it is the last reading that is not later than the entry. `person` is who it was,
/// `millilitres` the volume of a portion.
/// Other columns are ignored. What cannot be read is an error: half a record is not judged.
/// </remarks>
public static class PersonEntryReader
{
    /// <summary>Reads a file of entries.</summary>
    /// <param name="name">Name for error messages, such as the file's name.</param>
    /// <param name="lines">Its lines.</param>
    public static PersonEntries Read(string name, IEnumerable<string> lines)
    {
        ArgumentNullException.ThrowIfNull(lines);
        var errors = new List<InputError>();
        var entries = new List<PersonEntry>();
        string[]? header = null;
        var number = 0;
        foreach (var line in lines)
        {
            number++;
            if (string.IsNullOrWhiteSpace(line))
            {
                continue;
            }

            if (header is null)
            {
                header = [.. PersonEntryLine.Cut(line.TrimStart('\uFEFF')).Select(column => column.Trim())];
                Complete(name, number, header, errors);
            }
            else if (Entry(new(name, number, header, PersonEntryLine.Cut(line), errors), entries) is { } entry)
            {
                entries.Add(entry);
            }

            if (errors.Count >= Readings.TraceReader.MostErrors || (errors.Count > 0 && number == 1))
            {
                break;
            }
        }

        if (header is null)
        {
            errors.Add(new(name, $"is empty; it begins with a header such as {PersonEntryWords.Header}"));
        }

        return new(errors.Count > 0 ? [] : entries, errors);
    }

    private static void Complete(string name, int number, string[] header, List<InputError> errors)
    {
        foreach (var wanted in new[] { PersonEntryWords.Time, PersonEntryWords.Entry })
        {
            if (!header.Contains(wanted, StringComparer.Ordinal))
            {
                errors.Add(new($"{name}, line {number}", $"has no column {wanted}; expected: {PersonEntryWords.Header}"));
            }
        }

        // Columns of a person's own are passed over; the beginning of one of ours is what a file that was cut off ends with.
        if (Array.Find(PersonEntryWords.Columns, column => header[^1].Length > 0 && column.Length > header[^1].Length && column.StartsWith(header[^1], StringComparison.Ordinal)) is { } whole)
        {
            errors.Add(new($"{name}, line {number}", $"ends with the column '{header[^1]}', the beginning of {whole}: is the file cut off?"));
        }

        if (header.Distinct(StringComparer.Ordinal).Count() != header.Length)
        {
            errors.Add(new($"{name}, line {number}", "names a column twice"));
        }
    }

    private static PersonEntry? Entry(PersonEntryLine line, List<PersonEntry> before)
    {
        var found = line.Errors.Count;
        if (line.Fields.Length != line.Header.Length)
        {
            line.Refuse(null, $"has {line.Fields.Length} fields where the header has {line.Header.Length}");
            return null;
        }

        var (time, after, person) = (line.Seconds(PersonEntryWords.Time), line.Seconds(PersonEntryWords.After), line.Person());
        if (time is null && line.Errors.Count == found)
        {
            line.Refuse(PersonEntryWords.Time, "is empty; every entry needs its time in seconds");
        }

        if (time < before.LastOrDefault()?.AtSeconds)
        {
            line.Refuse(PersonEntryWords.Time, string.Create(CultureInfo.InvariantCulture, $"{time} is earlier than the entry before it; entries stand in the order in which they were made"));
        }

        return line.Errors.Count > found ? null : Entry(line, time!.Value, line.Header.Contains(PersonEntryWords.After, StringComparer.Ordinal) ? after : time, person, before.LastOrDefault());
    }

    private static PersonEntry? Entry(PersonEntryLine line, double time, double? reading, string? person, PersonEntry? before)
    {
        var word = line.At(PersonEntryWords.Entry) ?? "";
        if (PersonEntryWords.Sightings.TryGetValue(word, out var seen))
        {
            return new ObservationMade(time, reading, seen, person);
        }

        if (word == PersonEntryWords.Charged)
        {
            var (found, millilitres) = (line.Errors.Count, line.Millilitres());
            return line.Errors.Count > found ? null : new PortionCharged(time, reading, millilitres, person);
        }

        if (word != PersonEntryWords.TakenBack)
        {
            line.Refuse(PersonEntryWords.Entry, $"'{PersonEntryLine.Shown(word)}' is no entry; known are {PersonEntryWords.Known}");
        }
        else if (before is not ObservationMade newest)
        {
            line.Refuse(PersonEntryWords.Entry, "takes back the entry before it, and there is none that could be");
        }
        else if (time - newest.AtSeconds > ObservationWithdrawn.LongestSeconds)
        {
            line.Refuse(PersonEntryWords.Time, string.Create(CultureInfo.InvariantCulture, $"{time} is more than {ObservationWithdrawn.LongestSeconds} s after the entry that it takes back, at {newest.AtSeconds}"));
        }
        else
        {
            return new ObservationWithdrawn(time, reading, newest.AtSeconds, newest.Seen, person);
        }

        return null;
    }
}
