using Acquire.Core.Detection;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Detection;

public sealed class SelectionTests
{
    [Fact]
    public void The_value_of_a_rank_is_that_of_the_sorted_values()
    {
        // Few different values are those of a coarse converter.
        var values = Gen.OneOf(Gen.Double[-1e6, 1e6], Gen.Int[0, 3].Select(count => (double)count)).Array[1, 600];
        Gen.Select(values, Gen.Int[0, 10_000]).Sample((given, pick) =>
        {
            var rank = pick % given.Length;
            var work = (double[])given.Clone();

            var found = Selection.Smallest(work, rank);

            var sorted = given.Order().ToArray();
            Assert.Equal(sorted[rank], found);
            Assert.Equal(sorted, work.Order());
            Assert.All(work[..rank], value => Assert.True(value <= found));
            Assert.All(work[rank..], value => Assert.True(value >= found));
        });
    }

    [Fact]
    public void Ascending_descending_equal_and_saw_toothed_values_are_no_trap()
    {
        double[][] all =
        [
            [.. Enumerable.Range(0, 5000).Select(index => (double)index)],
            [.. Enumerable.Range(0, 5000).Select(index => (double)-index)],
            [.. Enumerable.Repeat(7.0, 5000)],
            [.. Enumerable.Range(0, 5000).Select(index => (double)(index % 2 == 0 ? index : 5000 - index))],
        ];
        foreach (var values in all)
        {
            foreach (var rank in new[] { 0, 1, 2499, 2500, 4999 })
            {
                Assert.Equal(values.Order().ElementAt(rank), Selection.Smallest((double[])values.Clone(), rank));
            }
        }
    }
}
