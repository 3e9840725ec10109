using Acquire.Core.Detection;
using Xunit;

namespace Acquire.Core.Tests.Detection;

public sealed class LongSilenceTests
{
    [Theory]
    [InlineData(0.02)]
    [InlineData(0.03)]
    public void A_flame_that_stayed_for_years_without_a_reading_is_judged_by_what_came(double unevenSeconds)
    {
        var watch = new DetectorWatch();
        var events = new List<WatchEvent>();
        watch.FlameOn(0, 5, events);
        watch.FlameOff(1e9, events);
        var random = new Random(1);
        for (var i = 0; i < 100; i++)
        {
            watch.Add(1e9 + (0.02 * i) + (i % 2 == 0 ? 0 : unevenSeconds - 0.02), random.NextDouble(), new(5, Freely: false, Signalled: true, Handled: false), events);
        }

        watch.Finish(1e9 + 2, 5, events);

        var judged = Assert.IsType<WatchEvent.Judged>(Assert.Single(events, seen => seen is WatchEvent.Judged));
        Assert.InRange(judged.Verdict.OnsetSeconds, 0, 1e9 + 2);
    }
}
