using Acquire.Core.Detection;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Detection;

public sealed class DetectorStretchTests
{
    private static DetectorStretch Even(double spacing, params double[] values) => new(values.Select((_, i) => i * spacing).ToArray(), values);

    [Fact]
    public void A_single_wild_reading_is_replaced_and_two_stay()
    {
        Assert.Equal([0, 0, 0, 0, 0], Even(0.02, 0, 0, 99, 0, 0).WithoutSpikes(1).Values);
        Assert.Equal([0, 0, 99, 99, 0, 0], Even(0.02, 0, 0, 99, 99, 0, 0).WithoutSpikes(1).Values);
    }

    [Fact]
    public void With_slow_readings_a_single_one_may_be_a_flash_and_stays()
    {
        Assert.Equal([0, 0, 99, 0, 0], Even(0.1, 0, 0, 99, 0, 0).WithoutSpikes(1).Values);
    }

    [Fact]
    public void Smoothing_keeps_a_constant_and_means_over_its_width()
    {
        Assert.Equal([5, 5, 5], Even(0.02, 5, 5, 5).Smoothed(0.05).Values);
        Assert.Equal([0, 3, 3, 3, 0], Even(0.02, 0, 0, 9, 0, 0).Smoothed(0.05).Values);
    }

    [Fact]
    public void Bins_stand_for_all_readings_and_keep_their_mean()
    {
        var readings = Gen.Select(Gen.Double[0.0005, 0.05], Gen.Double[-5, 5]).Array[1, 2000];
        Gen.Select(readings, Gen.Int[50, 200]).Sample((steps, most) =>
        {
            double t = 0;
            var stretch = new DetectorStretch(steps.Select(step => t += step.Item1).ToArray(), steps.Select(step => step.Item2).ToArray());

            var (points, weights) = stretch.Binned(most);

            Assert.Equal(stretch.Times.Length, weights.Sum());
            Assert.Equal(stretch.Values.Sum(), points.Values.Zip(weights, (value, weight) => value * weight).Sum(), tolerance: 1e-6);
            Assert.True(points.Times.Length <= 2 * most + 1, $"{points.Times.Length} points, {most} asked for");
            Assert.Equal(points.Times.Order(), points.Times);
        }, iter: 300);
    }

    [Fact]
    public void The_history_gives_back_what_lies_between_two_times_and_forgets_the_oldest()
    {
        var history = new DetectorHistory();
        for (var i = 0; i < 20_000; i++)
        {
            history.Add(i * 0.002, i);
        }

        Assert.Equal(8192, history.Count);
        Assert.Equal([19_000, 19_001, 19_002], history.Between(38.0, 38.004).Values);
        Assert.Equal(20_000 - 8192, history.Between(0, 1e9).Values[0]);
        Assert.Empty(history.Between(100, 200).Values);
        Assert.Empty(history.Between(2, 1).Values);
    }
}
