using Acquire.Core.Detection;
using Acquire.Core.Tests.Traces;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Detection;

public sealed class RampEstimatorTests
{
    private static RampEstimator Feed(IEnumerable<(double Seconds, double Celsius)> readings)
    {
        var ramp = new RampEstimator();
        foreach (var (seconds, celsius) in readings)
        {
            ramp.Add(seconds, celsius);
        }

        return ramp;
    }

    [Fact]
    public void An_exact_ramp_is_measured_exactly_whatever_the_spacing()
    {
        Gen.Select(Gen.Double[-20, 20], Gen.Double[-50, 400], Gen.Double[0.002, 0.4].Array[900]).Sample((perMinute, start, gaps) =>
        {
            double t = 1000, from = t;
            var readings = gaps.Select(gap => (t += gap, start + (perMinute / 60 * (t - from)))).ToList();
            if (t - from < 40)
            {
                return;
            }

            var line = Feed(readings).Fit(RampEstimator.RecordWindowSeconds, double.NegativeInfinity)!.Value;

            Assert.Equal(perMinute, line.SlopePerSecond * 60, tolerance: 1e-6);
            Assert.Equal(start + (perMinute / 60 * (line.CentreSeconds - from)), line.CentreValue, tolerance: 1e-8);
            Assert.InRange(line.SpanSeconds, 0.8 * RampEstimator.RecordWindowSeconds, RampEstimator.RecordWindowSeconds);
        }, iter: 100);
    }

    [Theory]
    [InlineData(10, 12)]
    [InlineData(10, 30)]
    [InlineData(50, 12)]
    public void The_scatter_of_the_rate_follows_the_least_squares_formula(double perSecond, double window)
    {
        // Linear regression theory (Gauss and Markov): var(slope) = 12 s²/(f W³) for noise s, f readings a second, window W.
        const double noise = 0.05;
        var expected = 60 * Math.Sqrt(12 * noise * noise / (perSecond * window * window * window));
        var random = new Noise(17);
        double sum = 0, squares = 0, stated = 0;
        const int runs = 1500;
        for (var run = 0; run < runs; run++)
        {
            var count = (int)((window + 0.5) * perSecond);
            var line = Feed(Enumerable.Range(0, count).Select(i => (i / perSecond, 200 + (5.5 / 60 * i / perSecond) + (noise * random.Normal())))).Fit(window, double.NegativeInfinity)!.Value;
            var error = (line.SlopePerSecond * 60) - 5.5;
            sum += error;
            squares += error * error;
            stated += line.SlopeUncertaintyPerSecond * 60;
        }

        // 1500 runs know a standard deviation to 1/√(2·1500) = 1.8 %. The window in use is up to one averaged point
        // (0.25 s) shorter than asked for, and its ends weigh most: up to 1.5 × 0.25/12 = 3 % more scatter at 12 s.
        Assert.Equal(1, Math.Sqrt(squares / runs) / expected, tolerance: 0.08);
        Assert.InRange(sum / runs, -4 * expected / Math.Sqrt(runs), 4 * expected / Math.Sqrt(runs));
        // The uncertainty that goes on record is an honest one.
        Assert.Equal(1, stated / runs / Math.Sqrt(squares / runs), tolerance: 0.06);
    }

    [Fact]
    public void The_rate_on_record_scatters_by_less_than_0_025_degrees_a_minute()
    {
        // 0.05 °C noise, shown in steps of 0.1 °C, ten readings a second: the goal for a 30 s rate is sd ≤ 0.025, bias ≤ 0.01 °C/min.
        var random = new Noise(23);
        double sum = 0, squares = 0;
        const int runs = 600;
        for (var run = 0; run < runs; run++)
        {
            var start = 200 + random.Between(0, 1);
            var line = Feed(Enumerable.Range(0, 305).Select(i => (i * 0.1, Math.Round((start + (5.5 / 600 * i) + (0.05 * random.Normal())) * 10) / 10))).Fit(30, double.NegativeInfinity)!.Value;
            var error = (line.SlopePerSecond * 60) - 5.5;
            sum += error;
            squares += error * error;
        }

        Assert.InRange(Math.Sqrt(squares / runs), 0, 0.025);
        Assert.InRange(Math.Abs(sum / runs), 0, 0.01);
    }

    [Fact]
    public void A_hole_in_the_readings_does_not_bias_the_rate()
    {
        var readings = Enumerable.Range(0, 400).Select(i => i * 0.1).Where(t => t is < 20 or > 27).Select(t => (t, 200 + (5.5 / 60 * t)));

        var line = Feed(readings).Fit(30, double.NegativeInfinity)!.Value;

        Assert.Equal(5.5, line.SlopePerSecond * 60, tolerance: 1e-6);
    }

    [Theory]
    [InlineData(59)]
    [InlineData(3600)]
    [InlineData(1e6)]
    [InlineData(1e9)]
    [InlineData(1e12)]
    public void A_clock_that_is_set_leaves_no_trace_once_the_window_is_full(double setSeconds)
    {
        // A tester whose clock begins at nought and is set to the time of day, 1e9 s later, as it reaches its network.
        LineFit From(double seconds)
        {
            var random = new Noise(29);
            var before = Enumerable.Range(0, 20).Select(i => (i * 0.5, 190.0));
            var after = Enumerable.Range(0, 26).Select(i => (seconds + (i * 0.5), 200 + (5.5 / 120 * i) + (0.05 * random.Normal())));
            return Feed(before.Concat(after)).Fit(RampEstimator.WarningWindowSeconds, double.NegativeInfinity)!.Value;
        }

        var (line, silence) = (From(setSeconds), From(40));

        // Times near 1e12 s are known to 0.1 ms, those near 1e9 s to 0.1 us.
        Assert.Equal(silence.SlopePerSecond, line.SlopePerSecond, tolerance: 1e-6);
        Assert.Equal(silence.SlopeUncertaintyPerSecond, line.SlopeUncertaintyPerSecond, tolerance: 1e-7);
        Assert.Equal(silence.CentreValue, line.CentreValue, tolerance: 1e-5);
    }

    [Fact]
    public void A_window_that_is_not_full_gives_no_rate()
    {
        var ramp = Feed(Enumerable.Range(0, 200).Select(i => (i * 0.1, 200.0)));

        Assert.Null(ramp.Fit(30, double.NegativeInfinity));
        Assert.NotNull(ramp.Fit(12, double.NegativeInfinity));
        Assert.Null(ramp.Fit(12, 12));
        Assert.Null(new RampEstimator().Fit(12, double.NegativeInfinity));
    }

    [Fact]
    public void A_temperature_is_read_off_the_line_around_a_moment()
    {
        var random = new Noise(3);
        var ramp = Feed(Enumerable.Range(0, 600).Select(i => (i * 0.1, 200 + (5.5 / 600 * i) + (0.05 * random.Normal()))));

        Assert.Equal(200 + (5.5 / 60 * 40), ramp.ReadAt(40)!.Value, tolerance: 0.05);
        Assert.Equal(200 + (5.5 / 60 * 59.5), ramp.ReadAt(59.5)!.Value, tolerance: 0.08);
        Assert.Null(new RampEstimator().ReadAt(0));
    }

    [Fact]
    public void Nothing_but_two_readings_is_read_as_it_is()
    {
        Assert.Equal(25.5, Feed([(0, 25), (0.1, 26)]).ReadAt(0.1));
    }

    [Theory]
    [InlineData(0.3, 1.5)]
    [InlineData(1.0, 0.2)]
    public void What_stands_out_for_a_moment_does_not_move_the_rate_once_it_is_over(double celsius, double seconds)
    {
        // A flame that warms the thermometer, a wild reading: least squares alone would be off by up to 6·height·length/W², 0.18 °C/min and more.
        var random = new Noise(29);
        var worst = 0.0;
        for (var at = 33.0; at < 52; at += 1.5)
        {
            var ramp = Feed(Enumerable.Range(0, 600).Select(i => i * 0.1).Select(t =>
                (t, Math.Round((200 + (5.5 / 60 * t) + (0.05 * random.Normal()) + (t >= at && t < at + seconds ? celsius : 0)) * 10) / 10)));
            worst = Math.Max(worst, Math.Abs((ramp.Fit(30, double.NegativeInfinity)!.Value.SlopePerSecond * 60) - 5.5));
        }

        // Four deviations of a window with a hole.
        Assert.InRange(worst, 0, 0.11);
    }

    [Fact]
    public void A_bend_of_the_ramp_is_no_stray()
    {
        // From 5.5 to 9 °C/min at once: the mean rate over 30 s is that of all the points.
        var ramp = Feed(Enumerable.Range(0, 600).Select(i => i * 0.1).Select(t => (t, 200 + (5.5 / 60 * t) + (3.5 / 60 * Math.Max(0, t - 45)))));

        Assert.Equal(7.25, ramp.Fit(30, double.NegativeInfinity)!.Value.SlopePerSecond * 60, tolerance: 0.08);
        Assert.InRange(ramp.Fit(30, double.NegativeInfinity)!.Value.Count, 148, 151);
    }

    [Fact]
    public void A_point_is_complete_with_the_reading_that_fills_it()
    {
        var ramp = new RampEstimator();

        Assert.False(ramp.Add(10, 20));
        Assert.True(ramp.Add(11, 20.1));
        Assert.True(ramp.Add(12, 20.2));
        Assert.Equal(12, ramp.NewestSeconds);
    }
}
