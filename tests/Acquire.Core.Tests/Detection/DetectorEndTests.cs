using Xunit;
using Acquire.Core.Detection;

namespace Acquire.Core.Tests.Detection;

public class DetectorEndTests
{
    private static readonly IdleNoise Quiet = new(0, 1, 1, 0.5, 100);

    // A pass 20 high, 0.6 s wide, with noise of deviation 1; common practice, no source.
    private static DetectorStretch Pass(double rowsPerSecond, double end, double count = 0, int hold = 1)
    {
        var random = new Random(5);
        double Value(double t) => (20 * Math.Exp(-2.7726 * (t - 1.5) * (t - 1.5) / 0.36)) + ((random.NextDouble() + random.NextDouble() + random.NextDouble() - 1.5) * 2);
        var times = Enumerable.Range(0, (int)(3 * rowsPerSecond)).Select(i => i / rowsPerSecond).ToArray();
        var values = times.Select(Value).Select(value => Math.Min(value, end)).Select(value => count > 0 ? Math.Round(value / count) * count : value).ToArray();
        return new(times, values.Select((_, i) => values[i - (i % hold)]).ToArray());
    }

    [Theory]
    [InlineData(25)]
    [InlineData(50)]
    [InlineData(500)]
    public void A_pass_cut_off_at_the_end_of_the_range_is_noticed(double rowsPerSecond) =>
        Assert.True(DetectorEnd.Reached(Pass(rowsPerSecond, end: 12), 1, Quiet, 0.01));

    [Theory]
    [InlineData(25, 0)]
    [InlineData(50, 0)]
    [InlineData(500, 0)]
    [InlineData(50, 0.5)]
    [InlineData(50, 4)]
    [InlineData(500, 4)]
    public void A_pass_with_a_top_of_its_own_is_not_however_coarse_the_counts(double rowsPerSecond, double count) =>
        Assert.False(DetectorEnd.Reached(Pass(rowsPerSecond, end: 1000, count), 1, Quiet, count / 2));

    [Fact]
    public void A_converter_slower_than_the_rows_repeats_every_value_and_is_at_no_end()
    {
        Assert.False(DetectorEnd.Reached(Pass(50, end: 1000, hold: 6), 1, Quiet, 0.01));
        Assert.True(DetectorEnd.Reached(Pass(50, end: 8, hold: 6), 1, Quiet, 0.01));
    }

    [Fact]
    public void A_detector_that_rests_at_one_value_is_at_no_end() =>
        Assert.False(DetectorEnd.Reached(new([.. Enumerable.Range(0, 100).Select(i => i / 50.0)], new double[100]), 1, Quiet, 0));
}
