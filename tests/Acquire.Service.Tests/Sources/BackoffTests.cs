using Acquire.Service.Sources;
using CsCheck;
using Xunit;

namespace Acquire.Service.Tests.Sources;

public sealed class BackoffTests
{
    [Fact]
    public void Every_wait_lies_between_the_shortest_and_the_longest()
    {
        Gen.Select(Gen.Int, Gen.Int[1, 40]).Sample((seed, attempts) =>
        {
            var backoff = new Backoff(new Random(seed));
            return Enumerable.Range(0, attempts).All(_ => backoff.Next().TotalSeconds is >= Backoff.ShortestSeconds and <= Backoff.LongestSeconds);
        });
    }

    [Fact]
    public void First_wait_is_short_again_after_something_worked()
    {
        var backoff = new Backoff(new Random(1));
        for (var i = 0; i < 20; i++)
        {
            backoff.Next();
        }

        backoff.Reset();

        Assert.InRange(backoff.Next().TotalSeconds, Backoff.ShortestSeconds, 2 * Backoff.ShortestSeconds);
    }

    [Fact]
    public void Waits_of_many_sources_differ()
    {
        var waits = Enumerable.Range(0, 20).Select(seed => new Backoff(new Random(seed)).Next()).Distinct();

        Assert.True(waits.Count() > 15);
    }
}
