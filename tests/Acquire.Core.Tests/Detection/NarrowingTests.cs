using Acquire.Core.Detection;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Detection;

public sealed class NarrowingTests
{
    [Fact]
    public void What_is_kept_holds_the_rank_at_its_new_place()
    {
        // Few different values are those of a coarse converter; few far ones are wild readings.
        var values = Gen.OneOf(Gen.Double[-1e6, 1e6], Gen.Int[0, 3].Select(count => (double)count), Gen.Double[-1, 1].Select(value => value * value * value)).Array[1, 3000];
        Gen.Select(values, Gen.Int[0, 10_000]).Sample((given, pick) =>
        {
            var sorted = given.Order().ToArray();
            foreach (var ranks in new[] { 1, Math.Min(2, given.Length) })
            {
                var rank = pick % (given.Length - ranks + 1);
                var place = rank;

                var kept = Narrowing.To((double[])given.Clone(), ref place, ranks).ToArray().Order().ToArray();

                Assert.Equal(sorted[rank], kept[place]);
                Assert.Equal(sorted[rank + ranks - 1], kept[place + ranks - 1]);
            }
        });
    }

    [Fact]
    public void The_median_is_that_of_the_sorted_values()
    {
        Gen.Double[-10, 10].Array[1, 2000].Sample(given =>
        {
            var sorted = given.Order().ToArray();
            var expected = (sorted[(given.Length - 1) / 2] + sorted[given.Length / 2]) / 2;

            Assert.Equal(expected, Robust.MedianInPlace((double[])given.Clone()));
        });
    }

    [Fact]
    public void A_guess_changes_no_answer_however_poor_it_is()
    {
        Gen.Select(Gen.Double[-10, 10].Array[1, 2000], Gen.Double[-12, 12], Gen.Double[0, 6]).Sample((given, about, within) =>
        {
            var sorted = given.Order().ToArray();
            var expected = (sorted[(given.Length - 1) / 2] + sorted[given.Length / 2]) / 2;

            Assert.Equal(expected, Robust.MedianInPlace((double[])given.Clone(), Bracket.About(about, within)));
            Assert.Equal(Robust.Scale(given), Robust.ScaleInPlace((double[])given.Clone(), about));
        });
    }
}
