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
        Number,
    }

    private static readonly Dictionary<string, Payload> Payloads = new() { ["json"] = Payload.Json, ["number"] = Payload.Number };

    public static SourceConfig.Mqtt Read(ConfigObject source, ThermometerWiring wiring)
    {
        var topics = new List<TopicConfig>();
        foreach (var section in source.Sections("topics", 1, MostTopics))
        {
            var filter = ReadFilter(section, topics);
            if (section.TryChoice("payload", Payloads, null, out var payload))
            {
                topics.Add(payload == Payload.Json ? ReadJson(section, filter, wiring) : ReadNumber(section, filter, wiring));
                section.RefuseUnknownKeys();
            }
        }

        CheckChannels(source, topics);
        source.RefuseUnknownKeys();
        return new() { Topics = topics };
    }

    private static string ReadFilter(ConfigObject section, List<TopicConfig> others)
    {
        var filter = section.Text("filter", null, TopicFilter.LongestCharacters, TopicFilter.Allowed);
        if (filter is null)
        {
            return "";
        }

        if (TopicFilter.Check(filter) is { } mistake)
        {
            section.Refuse("filter", $"given \"{JsonText.Shown(filter)}\": {mistake}; allowed: {TopicFilter.Allowed}");
            return "";
        }

        if (others.Find(other => other.Filter.Length > 0 && TopicFilter.Overlap(other.Filter, filter)) is { } overlapping)
        {
            section.Refuse("filter", $"given \"{JsonText.Shown(filter)}\"; a message could also match \"{JsonText.Shown(overlapping.Filter)}\" and would be read twice. Allowed: filters of one tester that do not overlap");
        }

        return filter;
    }

    private static TopicConfig.Json ReadJson(ConfigObject section, string filter, ThermometerWiring wiring)
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
            if (optional && channel == ReadingChannel.Time)
            {
                field.Refuse("optional", "given true for the time; allowed: false. A row without its time cannot be placed among the others");
            }

            fields.Add(new(path, channel, unit, optional));
            field.RefuseUnknownKeys();
        }

        ChannelReader.CheckAtMostOne(section, "fields", fields.Select(field => field.Channel), ReadingChannel.Time);
        if (fields.Count > 0 && fields.TrueForAll(field => field.Channel == ReadingChannel.Time))
        {
            section.Refuse("fields", "given only a time; allowed: at least one other channel");
        }

        return new(filter, fields);
    }

    private static TopicConfig.Number ReadNumber(ConfigObject section, string filter, ThermometerWiring wiring)
    {
        var (channel, unit) = ChannelReader.ReadNumber(section, wiring);
        return new(filter, channel, unit);
    }

    private static void CheckChannels(ConfigObject source, List<TopicConfig> topics)
    {
        if (topics.Count == 0)
        {
            return;
        }

        ChannelReader.CheckCounts(source, "topics", [.. topics.SelectMany(topic => topic.Channels)]);

        // Rows with the tester's time and rows with the time of arrival lie on two axes that have nothing to do with each other.
        if (topics.Exists(topic => topic.HasTime) && !topics.TrueForAll(topic => topic.HasTime))
        {
            source.Refuse("topics", "some topics carry a time and some do not; allowed: all or none, because the two times cannot be compared");
        }
    }
}
