using Acquire.Benchmarks.Campaigns.Flash;
using Xunit;

namespace Acquire.Core.Tests.Detection;

/// <summary>A small, fixed part of the campaign that writes the figures in docs/detection.md.</summary>
public sealed class SceneCampaignTests(ITestOutputHelper output)
{
    // Twelve passes without a flash in each scene.
    private const int Scenes = 60;

    private static readonly SceneOptions One = SceneOptions.OneDetector, Two = SceneOptions.TwoDetectors;

    private SceneTally Play(SceneOptions options, int scenes = Scenes)
    {
        var tally = SceneTally.Play(options, 1, scenes);
        output.WriteLine(FormattableString.Invariant($"{tally.False} of {tally.BarePasses} false, {tally.Missed} of {tally.Flashes} missed, 95 % of the onsets within {SceneTally.Quantile(tally.OnsetErrors, 0.95):0.0} ms; {string.Join(", ", tally.Faults)}"));
        return tally;
    }

    private static void AssertNoFault(SceneTally tally, int scenes = Scenes)
    {
        Assert.Equal((12 * scenes, 0), (tally.BarePasses, tally.False));
        Assert.Equal((scenes, 0), (tally.Flashes, tally.Missed));
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void A_flash_of_eight_deviations_below_pass_and_halo_is_found_and_timed_to_ten_milliseconds(bool two)
    {
        var tally = Play(two ? Two : One);

        AssertNoFault(tally);
        Assert.InRange(SceneTally.Quantile(tally.OnsetErrors, 0.95), 0, 10);
    }

    [Fact]
    public void At_two_hundred_rows_a_second_it_is_timed_to_five_milliseconds()
    {
        var tally = Play(One with { RowsPerSecond = 200 }, 20);

        AssertNoFault(tally, 20);
        Assert.InRange(SceneTally.Quantile(tally.OnsetErrors, 0.95), 0, 5);
    }

    [Fact]
    public void A_flash_of_six_deviations_is_found_where_a_second_detector_confirms() =>
        AssertNoFault(Play(Two with { FlashSigma = 6 }));

    // Hum that uneven times fold to no frequency is noise, unless it is looked for by the times.
    [Theory]
    [InlineData(50)]
    [InlineData(200)]
    public void A_flash_of_eight_deviations_is_found_where_the_times_of_the_readings_scatter(double rowsPerSecond) =>
        AssertNoFault(Play(Two with { RowsPerSecond = rowsPerSecond, TimeScatter = 0.9 }, 30), 30);

    // Flashes last 60 to 200 ms: the shapes that are looked for leave no length out.
    [Theory]
    [InlineData(0.02)]
    [InlineData(0.055)]
    [InlineData(0.12)]
    [InlineData(0.17)]
    public void A_flash_is_found_however_long_it_holds(double holdSeconds) =>
        AssertNoFault(Play(Two with { FlashHoldSeconds = holdSeconds }, 30), 30);

    // Thirteen of 1,500 such scenes held a narrow, high swing that was called a flash for its height alone.
    [Fact]
    public void What_a_strong_draught_throws_up_is_no_flash() =>
        Assert.Equal(0, Play(Two with { DraughtSigma = 2, FlashSigma = 0 }, 200).False);

    // Two passes before it: the course is hardly known, and a flash below the height of a pass leaves no doubt all the same.
    [Fact]
    public void A_flash_at_the_third_pass_is_found()
    {
        var tally = Play(One with { BarePasses = 2, FlashSigma = 10, RowsPerSecond = 200 });

        Assert.Equal((0, 0), (tally.False, tally.Missed));
    }

    // But in the sixth scene: one pass of 714, where one of 1,000 is what may be (docs/detection.md).
    [Fact]
    public void A_halo_of_any_height_that_lasts_a_third_of_a_second_is_no_flash() =>
        Assert.Equal([6UL], Play(One.WithHalo(0.3, 0.5) with { FlashSigma = 0 }).Faults.Select(fault => fault.Seed));

    [Fact]
    public void A_halo_as_brief_as_a_flash_is_none_where_the_deciding_detector_hardly_sees_it() =>
        AssertNoFault(Play(Two.WithHalo(0.15, 0.3)));

    [Theory]
    [InlineData(45)]
    [InlineData(55)]
    public void Under_hum_that_folds_down_to_five_waves_a_second_the_flash_is_found_and_nothing_else(double rowsPerSecond)
    {
        AssertNoFault(Play(Two with { RowsPerSecond = rowsPerSecond, HumSigma = 2 }, 40), 40);
        Assert.Equal(0, Play(One with { RowsPerSecond = rowsPerSecond, HumSigma = 2 }, 20).False);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(17)]
    public void A_second_detector_that_is_dead_takes_no_part(double still)
    {
        // A flash of six deviations is often between what the first needs alone and what it needs against the word of the second.
        for (var seed = 1UL; seed <= 12; seed++)
        {
            var one = PassScene.Draw(seed, One with { FlashSigma = 6 });
            var dead = new PassScene { Times = one.Times, First = one.First, Second = [.. one.Times.Select(_ => still)], Passes = one.Passes, Onset = one.Onset };

            Assert.Equal(ScenePlay.Play(one), ScenePlay.Play(dead));
        }
    }

    [Fact]
    public void A_scene_is_the_same_each_time()
    {
        var (scene, again) = (PassScene.Draw(7, Two), PassScene.Draw(7, Two));

        Assert.Equal(scene.First, again.First);
        Assert.Equal(scene.Second, again.Second);
        Assert.NotEqual(scene.First, PassScene.Draw(8, Two).First);
        Assert.Equal(ScenePlay.Play(scene), ScenePlay.Play(again));
    }
}
