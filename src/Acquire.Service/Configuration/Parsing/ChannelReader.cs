namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads which channel something holds, in which unit, and checks that the channels of a source fit together.</summary>
internal static class ChannelReader
{
    private static readonly Dictionary<string, ReadingChannel> Columns = new()
    {
        ["time"] = ReadingChannel.Time,
        ["temperature"] = ReadingChannel.Temperature,
        ["junction"] = ReadingChannel.Junction,
        ["detector"] = ReadingChannel.Detector,
        ["flame"] = ReadingChannel.Flame,
        ["ignore"] = ReadingChannel.Ignore,
    };

    private static readonly Dictionary<string, ReadingChannel> Fields = Without(ReadingChannel.Ignore);
    private static readonly Dictionary<string, ReadingChannel> Numbers = Without(ReadingChannel.Ignore, ReadingChannel.Time);
    private static readonly Dictionary<string, ReadingUnit> TimeUnits = new() { ["s"] = ReadingUnit.Seconds, ["ms"] = ReadingUnit.Milliseconds };

    public static (ReadingChannel Channel, ReadingUnit Unit) ReadColumn(ConfigObject section, ThermometerWiring wiring) => Read(section, Columns, wiring);

    public static (ReadingChannel Channel, ReadingUnit Unit) ReadField(ConfigObject section, ThermometerWiring wiring) => Read(section, Fields, wiring);

    /// <summary>A message that is one number cannot be a time: there would be nothing that happened at it.</summary>
    public static (ReadingChannel Channel, ReadingUnit Unit) ReadNumber(ConfigObject section, ThermometerWiring wiring) => Read(section, Numbers, wiring);

    /// <summary>Exactly one temperature, at most one of everything else.</summary>
    public static void CheckCounts(ConfigObject source, string key, IReadOnlyList<ReadingChannel> channels)
    {
        var temperatures = channels.Count(channel => channel == ReadingChannel.Temperature);
        if (temperatures != 1)
        {
            source.Refuse(key, $"given {temperatures} temperature channels; allowed: exactly one");
        }

        CheckAtMostOne(source, key, channels, ReadingChannel.Junction);
        CheckAtMostOne(source, key, channels, ReadingChannel.Detector);
        CheckAtMostOne(source, key, channels, ReadingChannel.Flame);
    }

    public static void CheckAtMostOne(ConfigObject source, string key, IEnumerable<ReadingChannel> channels, ReadingChannel channel)
    {
        var count = channels.Count(given => given == channel);
        if (count > 1)
        {
            source.Refuse(key, $"given {count} channels \"{Word(channel)}\"; allowed: at most one");
        }
    }

    public static string Word(ReadingChannel channel) => Columns.First(pair => pair.Value == channel).Key;

    private static (ReadingChannel Channel, ReadingUnit Unit) Read(ConfigObject section, Dictionary<string, ReadingChannel> words, ThermometerWiring wiring)
    {
        if (!section.TryChoice("channel", words, null, out var channel))
        {
            section.Has("unit");
            return (ReadingChannel.Ignore, ReadingUnit.None);
        }

        var unit = ReadingUnit.None;
        switch (channel)
        {
            case ReadingChannel.Time:
                section.TryChoice("unit", TimeUnits, null, out unit);
                break;
            case ReadingChannel.Temperature:
                section.TryChoice("unit", UnitWords.Signal, null, out unit, UnitWords.Canonical);
                wiring.NoteTemperature(unit, section.PathOf("unit"));
                break;
            case ReadingChannel.Junction:
                section.TryChoice("unit", UnitWords.Temperature, null, out unit, UnitWords.Canonical);
                wiring.NoteJunction(section.PathOf("channel"));
                break;
            default:
                if (section.Has("unit"))
                {
                    section.Refuse("unit", $"only time, temperature and junction have a unit here; \"{Word(channel)}\" is taken as it comes");
                }

                break;
        }

        return (channel, unit);
    }

    private static Dictionary<string, ReadingChannel> Without(params ReadingChannel[] left) =>
        Columns.Where(pair => !left.Contains(pair.Value)).ToDictionary();
}
