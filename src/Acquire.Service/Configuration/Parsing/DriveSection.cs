using Acquire.Core.Control;
using Acquire.Core.Runs;
using Acquire.Service.Sources.Mqtt;

namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads how a tester is driven, and refuses what must not be driven.</summary>
internal static class DriveSection
{
    private const string Key = "drive";

    // Each figure has a range of its own, told with its path by the check of the whole.
    private const double Any = 1e12;

    public static DriveConfig? Read(ConfigObject tester, TesterConfig config)
    {
        if (config.Mode != RunMode.Driven)
        {
            tester.Forbid(Key, "only a tester of the mode \"driven\" is driven");
            return null;
        }

        if (config.Source is SourceConfig.Modbus)
        {
            tester.Refuse("mode", "given \"driven\" for a tester that is read by Modbus; allowed: \"observed\", \"guided\". Nothing is ever written to a unit");
            tester.Forbid(Key, "is given for a tester that is read by Modbus; allowed: leave it out");
            return null;
        }

        if (config.Source is SourceConfig.Serial { Poll: not null })
        {
            tester.Refuse("mode", "given \"driven\" for a tester that is polled; allowed: \"observed\", \"guided\". A driven tester sends its lines by itself: an answer that stays away must not hold up a command");
            tester.Forbid(Key, "is given for a tester that is polled; allowed: leave it out");
            return null;
        }

        if (config.AutoStart is not null)
        {
            tester.Refuse("autoStart", "is given for a driven tester; allowed: none. A person starts its runs and turns the heater on");
        }

        Require(tester, config.Source, ReadingChannel.Flame, "nothing would tell whether the flame that was commanded came");
        Require(tester, config.Source, ReadingChannel.Command, "nothing would tell whether the tester obeys");
        Require(tester, config.Source, ReadingChannel.Detector, "no flash would be seen, and heating would go on to the limit");
        var drive = tester.Section(Key, optional: false) is { } section ? ReadDrive(section, config) : null;
        if (drive is not null && config.Source is SourceConfig.Serial serial && serial.Channels.Any())
        {
            SerialPace.Check(tester, serial, drive.Settings.LifetimeMilliseconds);
        }

        return drive;
    }

    /// <summary>Commands must reach their own tester alone, and never come back as readings; and no tester is driven by the readings of another.</summary>
    /// <param name="root">Where mistakes are noted.</param>
    /// <param name="testers">All testers, in the order of the file.</param>
    public static void CheckTopics(ConfigObject root, IReadOnlyList<TesterConfig> testers)
    {
        for (var index = 0; index < testers.Count; index++)
        {
            CheckReadings(root, testers, index);
            if (testers[index].Drive?.Topic is not { Length: > 0 } topic)
            {
                continue;
            }

            if (testers.Take(index).Any(other => other.Drive?.Topic == topic))
            {
                root.Refuse($"testers[{index}].drive.topic", $"given \"{JsonText.Shown(topic)}\"; another tester is commanded on it. Allowed: a topic of its own");
            }

            if (testers.Select(other => other.Source).OfType<SourceConfig.Mqtt>().SelectMany(source => source.Topics)
                .FirstOrDefault(read => read.Filter.Length > 0 && TopicFilter.Overlap(read.Filter, topic)) is { } overlapping)
            {
                root.Refuse($"testers[{index}].drive.topic", $"given \"{JsonText.Shown(topic)}\"; commands would be read as readings of \"{JsonText.Shown(overlapping.Filter)}\". Allowed: a topic that matches no filter of a source");
            }
        }
    }

    private static void CheckReadings(ConfigObject root, IReadOnlyList<TesterConfig> testers, int index)
    {
        if (testers[index] is not { Drive: not null, Source: SourceConfig.Mqtt own })
        {
            return;
        }

        var others = testers.Take(index).Where(other => other.Drive is not null).Select(other => other.Source).OfType<SourceConfig.Mqtt>().SelectMany(source => source.Topics).Select(topic => topic.Filter).ToArray();
        for (var topic = 0; topic < own.Topics.Count; topic++)
        {
            var filter = own.Topics[topic].Filter;
            if (filter.Length > 0 && Array.Find(others, other => other.Length > 0 && TopicFilter.Overlap(other, filter)) is { } overlapping)
            {
                root.Refuse($"testers[{index}].source.topics[{topic}].filter", $"given \"{JsonText.Shown(filter)}\"; another driven tester reads \"{JsonText.Shown(overlapping)}\", and one would be heated by the thermometer of the other. Allowed: filters that match no topic of another driven tester");
            }
        }
    }

    private static void Require(ConfigObject tester, SourceConfig source, ReadingChannel channel, string why)
    {
        // A source that is missing, or could not be read, is told of already.
        if (source.Channels.Any() && !source.Channels.Contains(channel))
        {
            tester.Refuse("source", $"has no channel \"{ChannelReader.Word(channel)}\", which a driven tester must send: without it {why}");
        }
    }

    private static DriveConfig ReadDrive(ConfigObject section, TesterConfig config)
    {
        var (highest, allowance, reaction) = (DriveSettings.HighestRangeCelsius, DriveSettings.AllowanceRangeCelsius, DriveSettings.ReactionRangeSeconds);
        var settings = new DriveSettings
        {
            LifetimeMilliseconds = section.Whole("lifetimeMilliseconds", DriveCommand.ShortestLifetimeMilliseconds, DriveCommand.LongestLifetimeMilliseconds, DriveCommand.DefaultLifetimeMilliseconds),
            HighestCelsius = section.Number("highestCelsius", highest.From, highest.To, "°C", optional: false) ?? highest.From,
            AllowanceCelsius = section.Number("allowanceCelsius", allowance.From, allowance.To, "°C", optional: true) ?? DriveSettings.UsualAllowanceCelsius,
            ReactionSeconds = section.Number("reactionSeconds", reaction.From, reaction.To, "s", optional: true) ?? DriveSettings.UsualReactionSeconds,
            Heater = ReadHeater(section),
        };
        var topic = ReadTopic(section, config);
        section.RefuseUnknownKeys();
        return new(settings, topic);
    }

    private static HeaterModel ReadHeater(ConfigObject drive)
    {
        if (drive.Section("heater", optional: true) is not { } section)
        {
            return HeaterModel.Unknown;
        }

        var model = new HeaterModel
        {
            MaxPowerWatts = section.Number("maxPowerWatts", -Any, Any, "W", optional: true),
            ThermalCapacityJoulesPerKelvin = section.Number("thermalCapacityJoulesPerKelvin", -Any, Any, "J/K", optional: true),
            LossWattsPerKelvin = section.Number("lossWattsPerKelvin", -Any, Any, "W/K", optional: true),
            DeadTimeSeconds = section.Number("deadTimeSeconds", -Any, Any, "s", optional: true),
            LagSeconds = section.Number("lagSeconds", -Any, Any, "s", optional: true),
            AmbientCelsius = section.Number("ambientCelsius", -Any, Any, "°C", optional: true) ?? HeaterModel.Unknown.AmbientCelsius,
            LargestFraction = section.Number("largestFraction", -Any, Any, "of the heater's most", optional: true) ?? HeaterModel.Unknown.LargestFraction,
        };
        section.RefuseUnknownKeys();
        foreach (var error in model.Check("heater"))
        {
            drive.Refuse(error.Path, error.Message);
        }

        return model;
    }

    private static string? ReadTopic(ConfigObject section, TesterConfig config)
    {
        const string Topic = "topic";
        const string Allowed = "a topic without wildcards, such as \"acquire/bench-4/drive\" or \"acquire/{tester}/drive\"; up to 1024 characters";
        if (config.Source is not SourceConfig.Mqtt)
        {
            section.Forbid(Topic, "is given for a tester on a serial port; allowed: none. Its commands go out by the port");
            return null;
        }

        var topic = section.Text(Topic, $"acquire/{config.Id}/drive", TopicFilter.LongestCharacters, Allowed);
        topic = topic?.Replace("{tester}", config.Id, StringComparison.Ordinal);
        if (topic is not null && (topic.AsSpan().IndexOfAny('{', '}') >= 0 || TopicFilter.Check(topic) is not null || topic.AsSpan().IndexOfAny('+', '#') >= 0 || topic.StartsWith('$')))
        {
            section.Refuse(Topic, $"given \"{JsonText.Shown(topic)}\"; allowed: {Allowed}, and not beginning with $");
            return "";
        }

        return topic;
    }
}
