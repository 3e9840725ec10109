using Acquire.Service.Sources.Mqtt;

namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads an MQTT source.</summary>
internal static class MqttSourceReader
{
    private const int MostTopics = 32;
    private const int MostFields = 64;

    private enum Payload
    {
        Json,
        Csv,
        Number,
    }

    private static readonly Dictionary<string, Payload> Payloads = new() { ["json"] = Payload.Json, ["csv"] = Payload.Csv, ["number"] = Payload.Number };

    public static SourceConfig.Mqtt Read(ConfigObject source, ThermometerWiring wiring, string tester)
    {
        var topics = new List<TopicConfig>();
        foreach (var section in source.Sections("topics", 1, MostTopics))
        {
            var text = section.Text("filter", null, TopicFilter.LongestCharacters, TopicFilter.Allowed);
            if (section.TryChoice("payload", Payloads, null, out var payload))
            {
                TopicConfig topic = payload switch
                {
                    Payload.Json => ReadJson(section, wiring),
                    Payload.Csv => MqttCsvReader.Read(section, wiring),
                    _ => ReadNumber(section, wiring),
                };
                var channel = topic is TopicConfig.Number number ? ChannelReader.Word(number.Channel) : null;
                topics.Add(topic with { Filter = ReadFilter(section, text, tester, channel, topics) });
                section.RefuseUnknownKeys();
            }
        }

        CheckChannels(source, topics, wiring);
        var order = OrderSection.Read(source, topics);
        source.RefuseUnknownKeys();
        return new() { Topics = topics, Order = order };
    }

    private static string ReadFilter(ConfigObject section, string? text, string tester, string? channel, List<TopicConfig> others)
    {
        if (text is null)
        {
            return "";
        }

        var filter = TopicTemplate.Fill(text, tester, channel, out var mistake);
        if (mistake is not null)
        {
            section.Refuse("filter", $"given \"{JsonText.Shown(text)}\": {mistake}; allowed: {TopicTemplate.Allowed}");
            return "";
        }

        if (TopicFilter.Check(filter) is { } wrong)
        {
            section.Refuse("filter", $"given \"{JsonText.Shown(filter)}\": {wrong}; allowed: {TopicFilter.Allowed}");
            return "";
        }

        if (others.Find(other => other.Filter.Length > 0 && TopicFilter.Overlap(other.Filter, filter)) is { } overlapping)
        {
            section.Refuse("filter", $"given \"{JsonText.Shown(filter)}\"; a message could also match \"{JsonText.Shown(overlapping.Filter)}\" and would be read twice. Allowed: filters of one tester that do not overlap");
        }

        return filter;
    }

    private static TopicConfig.Json ReadJson(ConfigObject section, ThermometerWiring wiring)
    {
        var fields = new List<FieldConfig>();
        foreach (var field in section.Sections("fields", 1, MostFields))
        {
            const string Allowed = "names joined by dots, such as \"probe.temperature_c\"";
            var path = field.Text("path", null, 200, Allowed) ?? "";
            if (path.Length > 0 && path.Split('.').Any(string.IsNullOrWhiteSpace))
            {
                field.Refuse("path", $"given \"{JsonText.Shown(path)}\"; allowed: {Allowed}");
            }

            var (channel, unit) = ChannelReader.ReadField(field, wiring);
            var optional = field.Flag("optional");
            if (optional && channel is (ReadingChannel.Time or ReadingChannel.Sequence))
            {
                field.Refuse("optional", $"given true for the {ChannelReader.Word(channel)}; allowed: false. A row without it cannot be placed among the others");
            }

            fields.Add(new(path, channel, unit, optional));
            field.RefuseUnknownKeys();
        }

        CheckRow(section, "fields", [.. fields.Select(field => field.Channel)]);
        return new TopicConfig.Json("", fields);
    }

    /// <summary>A row has one time and one count at most, and something that happened then.</summary>
    internal static void CheckRow(ConfigObject section, string key, IReadOnlyList<ReadingChannel> channels)
    {
        ChannelReader.CheckAtMostOne(section, key, channels, ReadingChannel.Time);
        ChannelReader.CheckAtMostOne(section, key, channels, ReadingChannel.Sequence);
        if (channels.Count > 0 && channels.All(channel => channel is ReadingChannel.Time or ReadingChannel.Sequence or ReadingChannel.Ignore))
        {
            section.Refuse(key, "given only a time; allowed: at least one other channel");
        }
    }

    private static TopicConfig.Number ReadNumber(ConfigObject section, ThermometerWiring wiring)
    {
        var (channel, unit) = ChannelReader.ReadNumber(section, wiring);
        return new TopicConfig.Number("", channel, unit);
    }

    private static void CheckChannels(ConfigObject source, List<TopicConfig> topics, ThermometerWiring wiring)
    {
        if (topics.Count == 0)
        {
            return;
        }

        ChannelReader.CheckCounts(source, "topics", [.. topics.SelectMany(topic => topic.Channels)], wiring);

        // Rows with the tester's time and rows with the time of arrival lie on two axes that have nothing to do with each other.
        if (topics.Exists(topic => topic.HasTime) && !topics.TrueForAll(topic => topic.HasTime))
        {
            source.Refuse("topics", "some topics carry a time and some do not; allowed: all or none, because the two times cannot be compared");
        }
    }
}
