using Acquire.Core.Detection;
using Acquire.Core.Tests.Traces;
using Xunit;

namespace Acquire.Core.Tests.Detection;

public sealed class IdleNoiseTests
{
    private static DetectorStretch Quiet(int seed, double perSecond, double seconds, Func<double, double> course)
    {
        var noise = new Noise(seed);
        var times = Enumerable.Range(0, (int)(perSecond * seconds)).Select(i => 100 + (i / perSecond)).ToArray();
        return new DetectorStretch(times, Array.ConvertAll(times, time => course(time - 100) + noise.Normal()));
    }

    [Theory]
    [InlineData(50)]
    [InlineData(200)]
    public void White_noise_is_learnt_in_the_detectors_own_unit(double perSecond)
    {
        var learnt = IdleNoise.From(Quiet(1, perSecond, 8, _ => 1200))!;

        Assert.Equal(1200, learnt.Baseline, tolerance: 0.3);
        Assert.InRange(learnt.White, 0.85, 1.15);
        Assert.InRange(learnt.Smooth, 0.2, 0.8);
        Assert.Equal((int)(8 * perSecond), learnt.Readings);
    }

    [Fact]
    public void A_drift_does_not_pass_for_noise_of_single_readings()
    {
        var learnt = IdleNoise.From(Quiet(2, 50, 8, time => 5 * time))!;

        Assert.InRange(learnt.White, 0.85, 1.2);
        Assert.InRange(learnt.Smooth, 2.2, 2.8); // half of the slope, 5 a second
    }

    [Fact]
    public void A_few_spikes_do_not_matter()
    {
        var quiet = Quiet(3, 50, 8, _ => 0);
        quiet.Values[50] = 1e5;
        quiet.Values[250] = -1e5;

        var learnt = IdleNoise.From(quiet)!;

        Assert.Equal(0, learnt.Baseline, tolerance: 0.3);
        Assert.InRange(learnt.White, 0.85, 1.2);
    }

    [Fact]
    public void Unit_and_offset_carry_over()
    {
        var quiet = Quiet(4, 50, 8, _ => 0);
        var plain = IdleNoise.From(quiet)!;

        var scaled = IdleNoise.From(quiet with { Values = Array.ConvertAll(quiet.Values, value => (1e-3 * value) - 7) })!;

        Assert.Equal((plain.Baseline * 1e-3) - 7, scaled.Baseline, 9);
        Assert.Equal(plain.White * 1e-3, scaled.White, 9);
        Assert.Equal(plain.Smooth * 1e-3, scaled.Smooth, 9);
    }

    [Fact]
    public void Too_few_readings_teach_nothing()
    {
        Assert.Null(IdleNoise.From(Quiet(5, 50, 0.14, _ => 0)));
        Assert.NotNull(IdleNoise.From(Quiet(5, 50, 0.161, _ => 0)));
    }
}
