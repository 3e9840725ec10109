using Acquire.Benchmarks.Campaigns.Mqtt;
using Xunit;

namespace Acquire.Service.Tests.Sources.Mqtt;

public sealed class MessagePlayTests
{
    private const int Inputs = 40_000;

    // The play throws with the input in its words where something false comes of it; the campaign plays millions.
    [Fact]
    public void Any_bytes_on_any_topic_are_read_or_refused_and_make_no_row_that_cannot_be()
    {
        var play = new MessagePlay(new Random(1));
        for (var input = 0; input < Inputs; input++)
        {
            play.Once();
        }

        Assert.Equal(Inputs, play.Tallies.Sum(kind => kind.Tally.Inputs));
        Assert.All(play.Tallies, kind => Assert.True(kind.Tally is { Rows: > 1000, Refused: > 1000, ForNobody: > 100 }, $"{kind.Name}: {kind.Tally.Rows} rows, {kind.Tally.Refused} refused, {kind.Tally.ForNobody} for nobody"));
    }
}
