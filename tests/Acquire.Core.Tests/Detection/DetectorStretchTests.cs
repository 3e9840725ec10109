using Acquire.Core.Detection;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Detection;

public sealed class DetectorStretchTests
{
    private static DetectorStretch Even(double spacing, params double[] values) => new(values.Select((_, i) => i * spacing).ToArray(), values);

    [Fact]
    public void What_lasts_up_to_forty_milliseconds_is_replaced_and_what_lasts_longer_stays()
    {
        Assert.Equal([0, 0, 0, 0, 0], Even(0.02, 0, 0, 99, 0, 0).WithoutSpikes(1).Values);
        Assert.Equal([0, 0, 0, 0, 0, 0], Even(0.02, 0, 0, 99, 99, 0, 0).WithoutSpikes(1).Values);
        Assert.Equal([0, 0, 0, 99, 99, 99, 0, 0, 0], Even(0.02, 0, 0, 0, 99, 99, 99, 0, 0, 0).WithoutSpikes(1).Values);
    }

    [Fact]
    public void A_wild_reading_at_either_end_is_replaced_too()
    {
        Assert.Equal([0, 0, 0, 0, 0, 0], Even(0.02, 99, 0, 0, 0, 0, 99).WithoutSpikes(1).Values);
    }

    [Fact]
    public void Above_twenty_milliseconds_apart_single_wild_readings_are_replaced_and_two_stay()
    {
        Assert.Equal([0, 0, 99, 99, 0, 0], Even(0.04, 0, 0, 99, 99, 0, 0).WithoutSpikes(1).Values);
        Assert.Equal([0, 0, 0, 0, 0], Even(0.04, 0, 0, 99, 0, 0).WithoutSpikes(1).Values);
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
    public void Points_are_means_of_neighbouring_readings_in_order_of_time_and_never_too_many()
    {
        var readings = Gen.Select(Gen.Double[0.0005, 0.05], Gen.Double[-5, 5]).Array[1, 2000];
        readings.Sample(steps =>
        {
            double t = 0;
            var stretch = new DetectorStretch(steps.Select(step => t += step.Item1).ToArray(), steps.Select(step => step.Item2).ToArray());
            var points = new WindowPoints();

            points.Take(new(stretch, NoiseSpectrum.OfWhite(1), leastNoise: 0, slowHeight: 2, from: 0, to: 1, highest: 9, linger: 0));

            Assert.InRange(points.Count, 1, WindowPoints.Most);
            Assert.Equal(points.TimesNow.ToArray().Order(), points.TimesNow.ToArray());
            for (var i = 0; i < points.Count; i++)
            {
                // A point lies between the smallest and the largest reading not further from it than the longest bin.
                var near = stretch.Between(points.Times[i] - 0.4, points.Times[i] + 0.4).Values.ToArray();
                Assert.InRange(points.Values[i] * points.Unit, near.Min() - 1e-9, near.Max() + 1e-9);
            }
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
        Assert.True(history.Between(100, 200).Values.IsEmpty);
        Assert.True(history.Between(2, 1).Values.IsEmpty);
    }
}
