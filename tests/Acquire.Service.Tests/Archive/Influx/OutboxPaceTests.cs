using Acquire.Service.Archive.Influx.Sending;
using Xunit;

namespace Acquire.Service.Tests.Archive.Influx;

public sealed class OutboxPaceTests
{
    private static readonly WriteAnswer Trouble = new(WriteOutcome.Later, 503, "busy");

    [Fact]
    public void Waits_are_anything_up_to_a_ceiling_that_doubles_to_a_minute_and_starts_again_after_something_worked()
    {
        var waits = Enumerable.Range(0, 400).Select(seed =>
        {
            var pace = new OutboxPace(new Random(seed));
            return Enumerable.Range(0, 12).Select(_ => pace.After(Trouble).TotalSeconds).ToArray();
        }).ToArray();

        double[] ceilings = [1, 2, 4, 8, 16, 32, 60, 60, 60, 60, 60, 60];
        foreach (var (attempt, ceiling) in ceilings.Index())
        {
            Assert.InRange(waits.Max(wait => wait[attempt]), ceiling * 0.95, ceiling);
            Assert.InRange(waits.Min(wait => wait[attempt]), 0, ceiling * 0.05);
        }

        var again = new OutboxPace(new Random(1));
        _ = Enumerable.Range(0, 8).Select(_ => again.After(Trouble)).Last();
        again.Reset();
        Assert.InRange(again.After(Trouble).TotalSeconds, 0, 1);
    }

    [Theory]
    [InlineData(0.5, 0.5, 1.5)]
    [InlineData(45, 45, 46)]
    [InlineData(100_000, 300, 301)]
    public void What_the_server_asks_for_is_waited_at_least_but_not_for_ever(double asked, double least, double most)
    {
        for (var seed = 0; seed < 50; seed++)
        {
            Assert.InRange(new OutboxPace(new Random(seed)).After(Trouble with { RetryAfter = TimeSpan.FromSeconds(asked) }).TotalSeconds, least, most);
        }
    }

    [Fact]
    public void Where_a_person_has_to_help_it_is_tried_again_after_half_a_minute_to_a_minute()
    {
        var pace = new OutboxPace(new Random(3));
        for (var round = 0; round < 50; round++)
        {
            Assert.InRange(pace.After(Trouble with { Outcome = WriteOutcome.Refused }).TotalSeconds, 30, 60);
        }
    }

    [Fact]
    public void Batches_grow_again_slowly_after_the_server_found_one_too_large()
    {
        var size = new BatchSize(5000);
        size.Learn(625);
        Assert.Equal(625, size.Lines);
        size.Learn(null);
        Assert.Equal(625, size.Lines);
        for (var batch = 0; batch < 1000; batch++)
        {
            size.Learn(null);
        }

        Assert.Equal(5000, size.Lines);
        size.Learn(0);
        Assert.Equal(1, size.Lines);
    }
}
