using System.Text.RegularExpressions;

namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads what a line holds: columns, or a pattern with groups.</summary>
internal static class LayoutReader
{
    private const int MostColumns = 64;
    private const int LongestPattern = 500;

    // The engine takes a time that grows with the line's length only; the limit is for a machine that stands still meanwhile.
    private static readonly TimeSpan LongestMatch = TimeSpan.FromSeconds(1);

    public static LineLayout Read(ConfigObject section, ThermometerWiring wiring, bool polled)
    {
        if (!section.Has("pattern"))
        {
            section.Forbid("groups", "is given without a pattern; allowed: with the key \"pattern\" in place of columns");
            return new LineLayout.Columns([.. section.Sections("columns", 1, MostColumns).Select(column =>
            {
                var (channel, unit) = ReadChannel(column, wiring, polled);
                column.RefuseUnknownKeys();
                return new ColumnConfig(channel, unit);
            })]);
        }

        section.Forbid("columns", "is given beside a pattern; allowed: one of them");
        var expression = ReadPattern(section);
        return new LineLayout.Pattern(expression ?? new Regex(""), ReadGroups(section, wiring, polled, expression));
    }

    private static List<GroupConfig> ReadGroups(ConfigObject section, ThermometerWiring wiring, bool polled, Regex? expression)
    {
        string[] names = [.. expression?.GetGroupNames().Where(name => !char.IsAsciiDigit(name[0])) ?? []];
        var groups = new List<GroupConfig>();
        foreach (var given in section.Sections("groups", 1, MostColumns))
        {
            var (channel, unit) = ReadChannel(given, wiring, polled);
            var name = given.Text("group", null, 80) ?? "";
            if (expression is not null && name.Length > 0 && !names.Contains(name, StringComparer.Ordinal))
            {
                var nearest = NearestKey.Find(name, names);
                given.Refuse("group", $"given \"{JsonText.Shown(name)}\"; allowed: {(names.Length == 0 ? "a group that the pattern names, such as (?<t>[0-9.]+)" : "one of " + string.Join(", ", names.Select(known => $"\"{known}\"")))}{(nearest is null ? "" : $"; did you mean \"{nearest}\"?")}");
            }

            groups.Add(new(name, channel, unit));
            given.RefuseUnknownKeys();
        }

        return groups;
    }

    private static Regex? ReadPattern(ConfigObject section)
    {
        const string Key = "pattern";
        if (section.Text(Key, null, LongestPattern) is not { } text)
        {
            return null;
        }

        try
        {
            // The whole line must match: a piece of a broken line that looks right is no reading.
            return new(@"\A(?:" + text + @")\z", RegexOptions.NonBacktracking | RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture, LongestMatch);
        }
        catch (ArgumentException exception)
        {
            section.Refuse(Key, $"given \"{JsonText.Shown(text)}\", which is no regular expression ({exception.Message}); allowed: one such as \"T=(?<t>[-+0-9.]+) D=(?<d>[-+0-9.]+)\"");
        }
        catch (NotSupportedException)
        {
            section.Refuse(Key, $"given \"{JsonText.Shown(text)}\"; allowed: a regular expression without back-references, conditions, look-ahead and look-behind, and not too many repetitions: its time must grow with the line's length only");
        }

        return null;
    }

    private static (ReadingChannel Channel, ReadingUnit Unit) ReadChannel(ConfigObject section, ThermometerWiring wiring, bool polled) =>
        polled ? ChannelReader.ReadAnswer(section, wiring) : ChannelReader.ReadColumn(section, wiring);
}
