using Acquire.Core.Detection;
using Acquire.Core.Tests.Traces;
using Xunit;

namespace Acquire.Core.Tests.Detection;

public sealed class RampSumsTests
{
    private const int Ring = RampEstimator.MostPoints;
    private static readonly (RampWindow Window, double Seconds)[] Windows = [(RampWindow.Warning, 12), (RampWindow.Record, 30), (RampWindow.Turn, 45)];

    // Uneven points, a hole, and strays that are found later, against sums made from the points one by one.
    [Theory]
    [InlineData(0.2, 0)]
    [InlineData(0.2, 0.08)]
    [InlineData(0.31, 0.2)]
    [InlineData(2.5, 0.9)]
    public void Sums_over_a_window_are_those_of_its_points_however_long_the_run(double spacing, double scatter)
    {
        var noise = new Noise(73);
        var (times, values, weights, strays) = (new double[Ring], new double[Ring], new double[Ring], new bool[Ring]);
        var sums = new RampSums();
        for (var i = 0; i < 1200; i++)
        {
            var at = i % Ring;
            (times[at], values[at]) = ((i * spacing) + noise.Between(0, scatter) + (i > 700 ? 8 : 0), 100 + (5.5 / 60 * i * spacing) + (0.05 * noise.Normal()));
            (weights[at], strays[at]) = (1 + (i % 3), false);
            var changed = i % 37 == 36;
            if (changed)
            {
                strays[(i - 9) % Ring] ^= true;
            }

            sums.Take(times, values, weights, strays, i + 1, changed);
            foreach (var (window, seconds) in Windows)
            {
                var found = sums.From(-seconds, window, out var oldestX);
                var points = Enumerable.Range(Math.Max(0, i + 1 - Ring), Math.Min(i + 1, Ring)).Select(k => k % Ring).Where(k => !strays[k] && times[k] - times[at] >= -seconds).ToArray();
                Assert.Equal(points.Length, found.Points);
                Assert.Equal(times[points[0]] - times[at], oldestX);
                Near(points.Sum(k => weights[k]), found.Count);
                Near(points.Sum(k => weights[k] * (times[k] - sums.ZeroSeconds)), found.X);
                Near(points.Sum(k => weights[k] * Math.Pow(times[k] - sums.ZeroSeconds, 2)), found.XX);
                Near(points.Sum(k => weights[k] * (values[k] - sums.Level)), found.Y);
                Near(points.Sum(k => weights[k] * (times[k] - sums.ZeroSeconds) * (values[k] - sums.Level)), found.XY);
                Near(points.Sum(k => weights[k] * Math.Pow(values[k] - sums.Level, 2)), found.YY);
            }
        }

        // As after a snapshot: the same points have the same sums to the last digit.
        var again = new RampSums();
        again.Take(times, values, weights, strays, sums.Count, changed: true);
        foreach (var (window, seconds) in Windows)
        {
            Assert.Equal(sums.From(-seconds, window, out _), again.From(-seconds, window, out _));
        }

        static void Near(double expected, double found) => Assert.InRange(found, expected - 1e-9 - (1e-10 * Math.Abs(expected)), expected + 1e-9 + (1e-10 * Math.Abs(expected)));
    }
}
