using Acquire.Core.Detection;
using Xunit;

namespace Acquire.Core.Tests.Detection;

/// <summary>A shape taken apart gives the sums that its values give one by one.</summary>
public sealed class FlashPartsTests
{
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(7)]
    [InlineData(10)]
    public void Sums_are_those_of_all_values(int steps)
    {
        const int points = 120;
        var random = new Random(steps);
        var weights = new FlashWeights();
        weights.Take(new Plain(), [.. Enumerable.Range(0, points).Select(_ => random.NextDouble() - 0.4)]);
        var groups = FlashGroup.All(points, steps, 20 * steps, 70 * steps).ToArray();

        Assert.Equal(FlashShapes.Count * steps, groups.Length);
        foreach (var group in groups)
        {
            if (group.Parts.Fading > 0)
            {
                weights.Fade(FlashShapes.FadingLeft(steps * FlashGrid.StepSeconds), group.Parts.Fading);
            }

            var sums = new double[group.Count + Sliding.Slack];
            group.Parts.Sum(weights, group.First, group.Count, sums, [], []);

            for (var k = 0; k < group.Count; k++)
            {
                var wanted = 0.0;
                for (var i = group.First + k; i < points; i++)
                {
                    var at = i - group.First - k;
                    wanted += weights.Values[i] * (at < group.Values.Length ? group.Values[at] : group.Burns ? 1 : 0);
                }

                Assert.Equal(wanted, sums[k], tolerance: 1e-11);
            }
        }
    }

    [Fact]
    public void Few_values_are_left_that_are_multiplied_one_by_one()
    {
        foreach (var group in FlashGroup.All(300, 1, 90, 190))
        {
            Assert.True(group.Parts.Size < 14 + (2 * 8), $"shape {group.Shape}: {group.Parts.Size}");
        }
    }

    // Weighs nothing.
    private sealed class Plain() : FlashModel(0)
    {
        public override int Size => 0;

        public override void Weigh(ReadOnlySpan<double> vector, Span<double> weighted) => vector.CopyTo(weighted);

        public override FlashMatch? Strongest(FlashWeights weights, in KnownCourse known, in FlashBounds bounds) => null;
    }
}
