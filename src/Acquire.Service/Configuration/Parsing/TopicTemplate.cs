using Acquire.Service.Sources.Mqtt;

namespace Acquire.Service.Configuration.Parsing;

/// <summary>Puts the tester's id and the channel's word into a topic that names them in braces.</summary>
internal static class TopicTemplate
{
    /// <summary>What may stand in braces.</summary>
    public const string Allowed = "{tester} for the tester's id, {channel} for the channel of a topic that carries one";

    private const string AllowedTopic = "a topic without wildcards, such as \"acquire/status\"; up to 1024 characters, not beginning with $";
    private const string Tester = "{tester}";
    private const string Channel = "{channel}";

    /// <summary>The filter with its names put in.</summary>
    /// <param name="text">As it stands in the file.</param>
    /// <param name="tester">Id of the tester.</param>
    /// <param name="channel">Word of the one channel; null where there are several.</param>
    /// <param name="mistake">What is wrong; null where nothing is.</param>
    public static string Fill(string text, string tester, string? channel, out string? mistake)
    {
        mistake = null;
        if (channel is null && text.Contains(Channel, StringComparison.Ordinal))
        {
            mistake = "{channel} stands for one channel, and these messages carry several";
            return text;
        }

        var filled = text.Replace(Tester, tester, StringComparison.Ordinal).Replace(Channel, channel, StringComparison.Ordinal);
        if (filled.AsSpan().IndexOfAny('{', '}') >= 0)
        {
            mistake = "what stands in braces is not known";
        }

        return filled;
    }

    /// <summary>A topic on which something is published; null after a mistake.</summary>
    public static string? ReadTopic(ConfigObject section, string key)
    {
        var topic = section.Text(key, null, TopicFilter.LongestCharacters, AllowedTopic);
        if (topic is null || (TopicFilter.Check(topic) is null && topic.AsSpan().IndexOfAny('+', '#') < 0 && !topic.StartsWith('$')))
        {
            return topic;
        }

        section.Refuse(key, $"given \"{JsonText.Shown(topic)}\"; allowed: {AllowedTopic}");
        return null;
    }
}
