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
    [InlineData(110)]
    public void Sums_are_those_of_all_values(int steps)
    {
        const int points = 120;
        var random = new Random(steps);
        var weights = new FlashWeights();
        weights.Take(new Plain(), [.. Enumerable.Range(0, points).Select(_ => random.NextDouble() - 0.4)]);
        var groups = FlashGroup.All(points, steps, 20 * steps, 70 * steps).ToArray();

        // Shapes that points so far apart make the same are there once.
        var shapes = Enumerable.Range(0, FlashShapes.Count).Count(shape => !FlashShapes.IsDouble(shape, steps * FlashGrid.StepSeconds));
        Assert.Equal(shapes * steps, groups.Length);
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
                Assert.Equal(Plainly(group, weights.Values, k, points), sums[k], tolerance: 1e-11);
            }
        }
    }

    [Fact]
    public void Three_rows_side_by_side_are_summed_as_each_by_itself()
    {
        var random = new Random(5);
        double[] times = [.. Enumerable.Range(0, 120).Select(i => 0.02 * i)];
        double[] course = [.. Enumerable.Range(0, PassCourse.GridPoints).Select(_ => random.NextDouble())];
        var points = new WindowPoints();
        points.Take(new FlashQuestion(new(times, [.. times.Select(_ => random.NextDouble())]), NoiseSpectrum.OfWhite(1), leastNoise: 0, slowHeight: 10, from: 0.6, to: 1.6, highest: double.PositiveInfinity, linger: 0) { Known = new(course, 0.7) });
        var weights = new FlashWeights();
        weights.Take(new Plain(), points, out _);
        Assert.True(weights.HasKnown && weights.Shift.Any(value => value != 0));

        foreach (var group in FlashGroup.All(points.Count, 2, 40, 140))
        {
            if (group.Parts.Fading > 0)
            {
                weights.Fade(FlashShapes.FadingLeft(0.02), group.Parts.Fading);
            }

            var (values, size, shift) = (new double[group.Count + Sliding.Slack], new double[group.Count + Sliding.Slack], new double[group.Count + Sliding.Slack]);
            group.Parts.Sum(weights, group.First, group.Count, values, size, shift);

            foreach (var (sums, row) in new[] { (values, weights.Values), (size, weights.Size), (shift, weights.Shift) })
            {
                for (var k = 0; k < group.Count; k++)
                {
                    Assert.Equal(Plainly(group, row, k, points.Count), sums[k], tolerance: 1e-11);
                }
            }
        }
    }

    private static double Plainly(FlashGroup group, double[] row, int k, int points)
    {
        var sum = 0.0;
        for (var i = group.First + k; i < points; i++)
        {
            var at = i - group.First - k;
            sum += row[i] * (at < group.Values.Length ? group.Values[at] : group.Burns ? 1 : 0);
        }

        return sum;
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
