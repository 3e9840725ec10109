using Acquire.Service.Sources.Mqtt;
using CsCheck;
using Xunit;

namespace Acquire.Service.Tests.Sources.Mqtt;

public sealed class TopicFilterTests
{
    // Generated from few letters, so that filters meet topics often.
    private static readonly Gen<string> Topic = SourceSamples.OneOf("a", "b", "", "$x").Array[1, 4].Select(levels => string.Join('/', levels));

    private static readonly Gen<string> Filter = SourceSamples.OneOf("a", "b", "", "+", "#", "$x").Array[1, 4].Select(levels => string.Join('/', levels))
        .Where(filter => TopicFilter.Check(filter) is null);

    // Examples of the OASIS standard MQTT 5.0, sections 4.7.1 and 4.7.2, with one filter of each rule more.
    [Theory]
    [InlineData("sport/tennis/player1/#", "sport/tennis/player1", true)]
    [InlineData("sport/tennis/player1/#", "sport/tennis/player1/ranking", true)]
    [InlineData("sport/tennis/player1/#", "sport/tennis/player1/score/wimbledon", true)]
    [InlineData("sport/#", "sport", true)]
    [InlineData("#", "sport/tennis", true)]
    [InlineData("sport/tennis/+", "sport/tennis/player1", true)]
    [InlineData("sport/tennis/+", "sport/tennis/player1/ranking", false)]
    [InlineData("sport/+", "sport", false)]
    [InlineData("sport/+", "sport/", true)]
    [InlineData("+/+", "/finance", true)]
    [InlineData("/+", "/finance", true)]
    [InlineData("+", "/finance", false)]
    [InlineData("#", "$SYS/monitor/Clients", false)]
    [InlineData("+/monitor/Clients", "$SYS/monitor/Clients", false)]
    [InlineData("$SYS/#", "$SYS/monitor/Clients", true)]
    [InlineData("$SYS/monitor/+", "$SYS/monitor/Clients", true)]
    [InlineData("ACCOUNTS", "accounts", false)]
    public void Topics_match_as_the_standard_says(string filter, string topic, bool matches)
    {
        Assert.Equal(matches, Matches(filter, topic));
    }

    [Theory]
    [InlineData("sport/tennis#")]
    [InlineData("sport/tennis/#/ranking")]
    [InlineData("sport+")]
    [InlineData("")]
    [InlineData("a\0b")]
    [InlineData("$share/group/a")]
    public void Invalid_filter_is_refused_with_a_reason(string filter)
    {
        Assert.NotNull(TopicFilter.Check(filter));
    }

    [Fact]
    public void Filters_that_a_topic_matches_both_overlap()
    {
        Gen.Select(Filter, Filter, Topic).Sample((left, right, topic) =>
            !(Matches(left, topic) && Matches(right, topic)) || (TopicFilter.Overlap(left, right) && TopicFilter.Overlap(right, left)));
    }

    [Theory]
    [InlineData("a/+", "+/b", true)]
    [InlineData("a/#", "a", true)]
    [InlineData("a/b", "a/c", false)]
    [InlineData("a/+", "a/b/c", false)]
    [InlineData("#", "$SYS/a", false)]
    [InlineData("$SYS/+", "$SYS/a", true)]
    public void Overlap_is_told_from_neighbourhood(string left, string right, bool overlap)
    {
        Assert.Equal(overlap, TopicFilter.Overlap(left, right));
        Assert.Equal(overlap, TopicFilter.Overlap(right, left));
    }

    [Fact]
    public void Tree_finds_what_a_walk_over_the_filters_finds()
    {
        Gen.Select(Filter.Array[0, 8], Topic).Sample((filters, topic) =>
        {
            var tree = new TopicTree<int>();
            for (var i = 0; i < filters.Length; i++)
            {
                tree.Add(filters[i], i);
            }

            var found = new List<int>();
            tree.Match(topic, found);
            return found.Order().SequenceEqual(Enumerable.Range(0, filters.Length).Where(i => MatchesByLevels(filters[i].Split('/'), topic.Split('/'))));
        });
    }

    private static bool Matches(string filter, string topic)
    {
        var tree = new TopicTree<string>();
        tree.Add(filter, filter);
        var found = new List<string>();
        tree.Match(topic, found);
        return found.Count == 1;
    }

    // The rules written down a second time, plainly.
    private static bool MatchesByLevels(string[] filter, string[] topic)
    {
        var hidden = topic[0].StartsWith('$') && (filter[0] is "+" or "#");
        return !hidden && MatchFrom(filter, topic, 0);
    }

    private static bool MatchFrom(string[] filter, string[] topic, int level)
    {
        if (level == filter.Length)
        {
            return level == topic.Length;
        }

        return filter[level] == "#" || (level < topic.Length && (filter[level] == "+" || filter[level] == topic[level]) && MatchFrom(filter, topic, level + 1));
    }
}
