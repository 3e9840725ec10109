namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads how messages that come twice or out of order are known.</summary>
internal static class OrderSection
{
    private const string Key = "order";
    private static readonly Dictionary<string, bool> Ways = new() { ["time"] = false, ["sequence"] = true };

    /// <summary>The order of a source; null where none is given.</summary>
    public static OrderConfig? Read(ConfigObject source, IReadOnlyList<TopicConfig> topics)
    {
        if (source.Section(Key, optional: true) is not { } section)
        {
            return null;
        }

        var known = section.TryChoice("by", Ways, null, out var bySequence);
        var late = section.Number("lateSeconds", 0, OrderConfig.LongestLateSeconds, "s", optional: true) ?? OrderConfig.UsualLateSeconds;
        section.RefuseUnknownKeys();
        if (topics.Any(topic => !topic.HasTime))
        {
            source.Refuse(Key, "is given, but messages carry no time; allowed: a channel \"time\" in every topic. Without it nobody knows how late a reading is");
        }

        if (known && bySequence && topics.Any(topic => !topic.Channels.Contains(ReadingChannel.Sequence)))
        {
            section.Refuse("by", "given \"sequence\", but there are topics without a channel \"sequence\"; allowed: such a channel in every topic, or \"time\"");
        }

        if (topics.FirstOrDefault(topic => topic.Filter.AsSpan().IndexOfAny('+', '#') >= 0) is { } wide)
        {
            source.Refuse(Key, $"is given, but \"{JsonText.Shown(wide.Filter)}\" has a wildcard; allowed: filters without. Two topics may count each for itself");
        }

        return new(bySequence, late);
    }
}
