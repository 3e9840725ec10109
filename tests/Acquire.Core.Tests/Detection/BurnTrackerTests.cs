using Acquire.Core.Detection;
using Xunit;

namespace Acquire.Core.Tests.Detection;

public sealed class BurnTrackerTests
{
    // ISO 2592 and ASTM D92, clause 4: a fire point burns for at least 5 s.
    private const double FireSeconds = 5;

    private static BurnTracker Follow(double burnSeconds, double perSecond, Func<double, double> glow, double until = 9)
    {
        var burn = new BurnTracker(100, baseline: 50, floor: 3);
        burn.Ignite(100.2);
        for (var t = 0.0; t < until; t += 1 / perSecond)
        {
            var after = t - 0.2;
            burn.Add(100 + t, 50 + (after >= 0 && after < burnSeconds ? glow(after) : 0));
            if (burn.IsOut(100 + t))
            {
                break;
            }
        }

        return burn;
    }

    [Theory]
    [InlineData(10, 4.6, false)]
    [InlineData(50, 4.6, false)]
    [InlineData(500, 4.6, false)]
    [InlineData(10, 5.2, true)]
    [InlineData(50, 5.2, true)]
    [InlineData(500, 5.2, true)]
    public void A_burn_counts_as_fire_by_its_seconds(double perSecond, double burnSeconds, bool fire)
    {
        var burn = Follow(burnSeconds, perSecond, _ => 60);

        Assert.Equal(fire, burn.BurnedSeconds >= FireSeconds);
        Assert.Equal(burnSeconds, burn.BurnedSeconds, tolerance: 0.3);
    }

    [Fact]
    public void Flicker_does_not_end_a_burn()
    {
        // Dark for half a second in every second and a half; flames of this size flicker at 1 to 6 Hz (common practice, no source).
        var burn = Follow(6, 50, after => after % 1.5 < 1 ? 60 : 0);

        Assert.InRange(burn.BurnedSeconds, 5.5, 6.3);
    }

    [Fact]
    public void Darkness_longer_than_a_flicker_ends_it()
    {
        var burn = Follow(6, 50, after => after is > 2 and < 3.2 ? 0 : 60);

        Assert.InRange(burn.BurnedSeconds, 1.9, 2.4);
        Assert.True(burn.IsOut(burn.LastGlowSeconds + 0.61));
        Assert.False(burn.IsOut(burn.LastGlowSeconds + 0.59));
    }

    [Fact]
    public void A_glow_below_the_floor_is_darkness()
    {
        var burn = Follow(6, 50, _ => 2.5);

        Assert.Equal(0, burn.BurnedSeconds);
    }

    [Fact]
    public void The_burn_begins_at_the_onset_that_was_judged()
    {
        var burn = new BurnTracker(100, 0, 3);
        burn.Ignite(100.75);

        Assert.True(burn.Ignited);
        Assert.Equal(100.75, burn.OnsetSeconds);
        Assert.Equal(0, burn.BurnedSeconds);
    }
}
