namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads which channel something holds, in which unit, and checks that the channels of a source fit together.</summary>
internal static class ChannelReader
{
    private static readonly Dictionary<string, ReadingChannel> All = new()
    {
        ["time"] = ReadingChannel.Time,
        ["temperature"] = ReadingChannel.Temperature,
        ["junction"] = ReadingChannel.Junction,
        ["detector"] = ReadingChannel.Detector,
        ["second-detector"] = ReadingChannel.SecondDetector,
        ["flame"] = ReadingChannel.Flame,
        ["command"] = ReadingChannel.Command,
        ["heater"] = ReadingChannel.Heater,
        ["stirrer"] = ReadingChannel.Stirrer,
        ["stirring"] = ReadingChannel.Stirring,
        ["lit"] = ReadingChannel.Lit,
        ["air"] = ReadingChannel.Air,
        ["ambient"] = ReadingChannel.Ambient,
        ["sequence"] = ReadingChannel.Sequence,
        ["ignore"] = ReadingChannel.Ignore,
    };

    // What is told of a room that testers share. Its time is that of arrival: the clock of a barometer and that of a tester have nothing to do with each other.
    private static readonly Dictionary<string, ReadingChannel> Ambient = new()
    {
        ["pressure"] = ReadingChannel.Pressure,
        ["ambient"] = ReadingChannel.Ambient,
        ["air"] = ReadingChannel.Air,
        ["ignore"] = ReadingChannel.Ignore,
    };

    private static readonly Dictionary<string, ReadingChannel> Columns = Without(ReadingChannel.Sequence);
    private static readonly Dictionary<string, ReadingChannel> Fields = Without(ReadingChannel.Ignore);
    private static readonly Dictionary<string, ReadingChannel> Numbers = Without(ReadingChannel.Ignore, ReadingChannel.Time, ReadingChannel.Sequence);
    private static readonly Dictionary<string, ReadingChannel> Registers = Without(ReadingChannel.Ignore, ReadingChannel.Time, ReadingChannel.Command, ReadingChannel.Sequence);

    private static readonly Dictionary<string, ReadingChannel> Answers = Without(ReadingChannel.Time, ReadingChannel.Command, ReadingChannel.Sequence);

    private static readonly Dictionary<ReadingChannel, Dictionary<string, ReadingUnit>> Units = new()
    {
        [ReadingChannel.Time] = new() { ["s"] = ReadingUnit.Seconds, ["ms"] = ReadingUnit.Milliseconds },
        [ReadingChannel.Temperature] = UnitWords.Signal,
        [ReadingChannel.Junction] = UnitWords.Temperature,
        [ReadingChannel.Heater] = new() { ["1"] = ReadingUnit.One, ["%"] = ReadingUnit.Percent },
        [ReadingChannel.Stirrer] = new() { ["r/min"] = ReadingUnit.RevolutionsPerMinute },
        [ReadingChannel.Air] = new() { ["m/s"] = ReadingUnit.MetresPerSecond },
        [ReadingChannel.Ambient] = UnitWords.Temperature,
        [ReadingChannel.Pressure] = UnitWords.Pressure,
    };

    public static (ReadingChannel Channel, ReadingUnit Unit) ReadColumn(ConfigObject section, ThermometerWiring wiring) => Read(section, Columns, wiring);

    /// <summary>A column of a message may also be the count of the message.</summary>
    public static (ReadingChannel Channel, ReadingUnit Unit) ReadMessageColumn(ConfigObject section, ThermometerWiring wiring) => Read(section, All, wiring);

    public static (ReadingChannel Channel, ReadingUnit Unit) ReadField(ConfigObject section, ThermometerWiring wiring) => Read(section, Fields, wiring);

    /// <summary>A message that is one number cannot be a time: there would be nothing that happened at it.</summary>
    public static (ReadingChannel Channel, ReadingUnit Unit) ReadNumber(ConfigObject section, ThermometerWiring wiring) => Read(section, Numbers, wiring);

    /// <summary>A unit that is polled sends neither its time, which is that of the poll, nor the number of a command, which it gets none of.</summary>
    public static (ReadingChannel Channel, ReadingUnit Unit) ReadRegister(ConfigObject section, ThermometerWiring wiring) => Read(section, Registers, wiring);

    /// <summary>A part of a line that was asked for: its time is that of the poll.</summary>
    public static (ReadingChannel Channel, ReadingUnit Unit) ReadAnswer(ConfigObject section, ThermometerWiring wiring) => Read(section, Answers, wiring);

    /// <summary>Exactly one temperature, at most one of everything else; of a source that testers share at least one of all.</summary>
    public static void CheckCounts(ConfigObject source, string key, IReadOnlyList<ReadingChannel> channels, ThermometerWiring wiring)
    {
        if (wiring.IsAmbient)
        {
            CheckAmbient(source, key, channels);
            return;
        }

        var temperatures = channels.Count(channel => channel == ReadingChannel.Temperature);
        if (temperatures != 1)
        {
            source.Refuse(key, $"given {temperatures} temperature channels; allowed: exactly one");
        }

        foreach (var channel in Columns.Values.Where(channel => channel is not (ReadingChannel.Temperature or ReadingChannel.Time or ReadingChannel.Ignore)))
        {
            CheckAtMostOne(source, key, channels, channel);
        }

        if (channels.Contains(ReadingChannel.SecondDetector) && !channels.Contains(ReadingChannel.Detector))
        {
            source.Refuse(key, "given a channel \"second-detector\" and no channel \"detector\"; allowed: both, or \"detector\" alone: the second only confirms what the first decides");
        }

        if (channels.Contains(ReadingChannel.Stirrer) && channels.Contains(ReadingChannel.Stirring))
        {
            source.Refuse(key, "given a channel \"stirrer\" and a channel \"stirring\"; allowed: one of them, the speed or only whether it turns");
        }
    }

    private static void CheckAmbient(ConfigObject source, string key, IReadOnlyList<ReadingChannel> channels)
    {
        foreach (var channel in Ambient.Values.Where(channel => channel != ReadingChannel.Ignore))
        {
            CheckAtMostOne(source, key, channels, channel);
        }

        if (channels.All(channel => channel == ReadingChannel.Ignore))
        {
            source.Refuse(key, "given nothing that is read; allowed: at least one of \"pressure\", \"ambient\", \"air\"");
        }
    }

    public static void CheckAtMostOne(ConfigObject source, string key, IEnumerable<ReadingChannel> channels, ReadingChannel channel)
    {
        var count = channels.Count(given => given == channel);
        if (count > 1)
        {
            source.Refuse(key, $"given {count} channels \"{Word(channel)}\"; allowed: at most one");
        }
    }

    public static string Word(ReadingChannel channel) => All.Concat(Ambient).First(pair => pair.Value == channel).Key;

    private static (ReadingChannel Channel, ReadingUnit Unit) Read(ConfigObject section, Dictionary<string, ReadingChannel> words, ThermometerWiring wiring)
    {
        if (wiring.IsAmbient)
        {
            words = words.ContainsKey("ignore") ? Ambient : Ambient.Where(pair => pair.Value != ReadingChannel.Ignore).ToDictionary();
        }

        if (!section.TryChoice("channel", words, null, out var channel))
        {
            section.Has("unit");
            return (ReadingChannel.Ignore, ReadingUnit.None);
        }

        var unit = ReadingUnit.None;
        if (Units.TryGetValue(channel, out var units))
        {
            section.TryChoice("unit", units, null, out unit, UnitWords.Canonical);
        }
        else if (section.Has("unit"))
        {
            section.Refuse("unit", $"only {string.Join(", ", Units.Keys.Select(Word))} have a unit here; \"{Word(channel)}\" is taken as it comes");
        }

        if (channel == ReadingChannel.Temperature)
        {
            wiring.NoteTemperature(unit, section.PathOf("unit"));
        }
        else if (channel == ReadingChannel.Junction)
        {
            wiring.NoteJunction(section.PathOf("channel"));
        }

        return (channel, unit);
    }

    private static Dictionary<string, ReadingChannel> Without(params ReadingChannel[] left) =>
        All.Where(pair => !left.Contains(pair.Value)).ToDictionary();
}
