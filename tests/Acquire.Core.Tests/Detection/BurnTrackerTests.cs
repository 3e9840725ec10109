using System.Text.Json;
using System.Text.Json.Serialization;
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

    // A level that is left for three seconds and was looked at, and then a glow upon it.
    private static BurnTracker Surging(double height, Func<BurnTracker, BurnTracker>? kept = null)
    {
        var burn = Follow(2.8, 50, _ => 10, until: 3);
        burn.LookAgainSeconds = 101.8;
        burn = kept?.Invoke(burn) ?? burn;
        for (var t = 3.0; t < 3.1; t += 0.02)
        {
            burn.Add(100 + t, 50 + height);
        }

        return burn;
    }

    [Fact]
    public void A_glow_far_above_the_level_before_it_surges_and_flicker_does_not()
    {
        Assert.True(Surging(25).JustSurged(103.1));
        Assert.False(Surging(15).JustSurged(103.1));
        Assert.False(Surging(25).JustSurged(103.5));
    }

    [Fact]
    public void What_has_surged_for_long_is_the_level_from_which_it_could_surge_again()
    {
        var burn = Surging(25);
        for (var t = 3.1; t < 5; t += 0.02)
        {
            burn.Add(100 + t, 75);
        }

        Assert.False(burn.JustSurged(105));
        Assert.True(burn.MayBeRelit);
        burn.Add(105.02, 50 + 60);
        burn.Add(105.04, 50 + 60);
        burn.Add(105.06, 50 + 60);
        Assert.True(burn.JustSurged(105.06));
    }

    [Fact]
    public void In_a_snapshot_from_before_surges_were_followed_nothing_surges()
    {
        static BurnTracker Without(BurnTracker burn)
        {
            var options = new JsonSerializerOptions { NumberHandling = JsonNumberHandling.AllowNamedFloatingPointLiterals };
            var json = JsonSerializer.SerializeToNode(burn, options)!.AsObject();
            foreach (var name in new[] { "_glow", "_brightest", "_surgeSince" })
            {
                Assert.True(json.Remove(name), name);
            }

            return json.Deserialize<BurnTracker>(options)!;
        }

        var burn = Surging(25, Without);

        Assert.False(burn.JustSurged(103.1));
        Assert.False(burn.MayBeRelit);
        Assert.Equal(103.08, burn.LastGlowSeconds, tolerance: 0.001);
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
