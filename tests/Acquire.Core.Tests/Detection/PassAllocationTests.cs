using Acquire.Core.Detection;
using Acquire.Core.Tests.Traces;
using Xunit;

namespace Acquire.Core.Tests.Detection;

public sealed class PassAllocationTests
{
    private const double PassEverySeconds = 20, PassSeconds = 1, FireSeconds = 5;
    private const int PassesBefore = 6;

    // What is told of a pass, its figures in the memory of passes, what the quiet detector has taught, and the burn that might follow.
    private const long TellingBytes = 1400;

    [Theory]
    [InlineData(10, false)]
    [InlineData(50, false)]
    [InlineData(200, false)]
    [InlineData(500, false)]
    [InlineData(50, true)]
    [InlineData(500, true)]
    public void Between_two_passes_and_through_one_nothing_is_allocated_but_what_is_told_of_it(double perSecond, bool two)
    {
        var (first, second) = (Readings(perSecond, 1), Readings(perSecond, 2));
        var from = (int)(PassesBefore * PassEverySeconds * perSecond);
        var events = new List<WatchEvent>(16);
        var judged = 0;

        var bytes = Allocations.LeastBytes(() =>
        {
            var watch = new DetectorWatch();
            Feed(watch, 0, from);
            judged = 0;
            return () => Feed(watch, from, first.Length);
        });

        Assert.Equal(1, judged);
        Assert.InRange(bytes, 0, two ? 2 * TellingBytes : TellingBytes);

        void Feed(DetectorWatch watch, int begin, int end)
        {
            for (var i = begin; i < end; i++)
            {
                var seconds = i / perSecond;
                var (over, was) = (IsOver(seconds), i > 0 && IsOver((i - 1) / perSecond));
                if (over && !was)
                {
                    watch.FlameOn(seconds, FireSeconds, events);
                }
                else if (was && !over)
                {
                    watch.FlameOff(seconds, events);
                }

                if (two)
                {
                    watch.AddSecond(seconds, second[i]);
                }

                watch.Add(seconds, first[i], new(FireSeconds, Freely: false, Signalled: true, Handled: false), events);
                judged += events.Count;
                events.Clear();
            }
        }
    }

    // Common practice, no source: noise of deviation 1, and passes 20 high and 0.6 s wide that do not flash.
    private static double[] Readings(double perSecond, int seed)
    {
        var noise = new Noise(seed);
        var readings = new double[(int)((PassesBefore + 1) * PassEverySeconds * perSecond)];
        for (var i = 0; i < readings.Length; i++)
        {
            var middle = ((i / perSecond) % PassEverySeconds) - (PassEverySeconds / 2) - (PassSeconds / 2);
            readings[i] = 400 + noise.Normal() + (20 * Math.Exp(-4 * Math.Log(2) * middle * middle / 0.36));
        }

        return readings;
    }

    private static bool IsOver(double seconds) => (seconds % PassEverySeconds) is >= PassEverySeconds / 2 and < (PassEverySeconds / 2) + PassSeconds;
}
