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
        var learnt = IdleNoise.From(Quiet(1, perSecond, 8, _ => 1200))!.Value;

        Assert.Equal(1200, learnt.Baseline, tolerance: 0.3);
        Assert.InRange(learnt.White, 0.85, 1.15);
        Assert.InRange(learnt.Smooth, 0.2, 0.8);
        Assert.Equal((int)(8 * perSecond), learnt.Readings);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(1e-12)]
    [InlineData(1e-300)]
    public void Times_that_hardly_differ_are_borne(double spacing)
    {
        var noise = new Noise(3);
        double[] times = [.. Enumerable.Range(0, 16).Select(i => i * spacing)];

        var learnt = IdleNoise.From(new DetectorStretch(times, Array.ConvertAll(times, _ => 7 + noise.Normal())));

        Assert.InRange(learnt!.Value.Baseline, 4, 10);
        Assert.True(double.IsFinite(learnt.Value.Smooth));
    }

    [Fact]
    public void A_drift_does_not_pass_for_noise_of_single_readings()
    {
        var learnt = IdleNoise.From(Quiet(2, 50, 8, time => 5 * time))!.Value;

        Assert.InRange(learnt.White, 0.85, 1.2);
        Assert.InRange(learnt.Smooth, 2.2, 2.8); // half of the slope, 5 a second
    }

    [Fact]
    public void A_few_spikes_do_not_matter()
    {
        var quiet = Quiet(3, 50, 8, _ => 0);
        var values = quiet.Values.ToArray();
        (values[50], values[250]) = (1e5, -1e5);

        var learnt = IdleNoise.From(quiet with { Values = values })!.Value;

        Assert.Equal(0, learnt.Baseline, tolerance: 0.3);
        Assert.InRange(learnt.White, 0.85, 1.2);
    }

    [Fact]
    public void Unit_and_offset_carry_over()
    {
        var quiet = Quiet(4, 50, 8, _ => 0);
        var plain = IdleNoise.From(quiet)!.Value;

        var scaled = IdleNoise.From(quiet with { Values = Array.ConvertAll(quiet.Values.ToArray(), value => (1e-3 * value) - 7) })!.Value;

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

    [Fact]
    public void What_was_learnt_before_changes_nothing_of_what_is_learnt_next()
    {
        // Noise of one size after another, at rest, on a slow drift and on a steep one, a coarse converter too.
        var learner = new IdleLearner();
        var stretches = from scale in new[] { 1, 0.01, 30 } from drift in new[] { 0, 0.1, 3, -40 } from step in new[] { 0, 0.5 } select (scale, drift, step);
        foreach (var (scale, drift, step) in stretches)
        {
            var noise = new Noise(7);
            var times = Enumerable.Range(0, 400).Select(i => 0.02 * i).ToArray();
            var values = times.Select(time => scale * (noise.Normal() + (drift * time))).Select(value => step > 0 ? Math.Round(value / step) * step : value).ToArray();

            Assert.Equal(new IdleLearner().Learn(times, values), learner.Learn(times, values));
        }
    }

    [Fact]
    public void A_drift_counts_as_scatter_as_far_as_it_is_the_greater()
    {
        // A ramp without noise: means over 50 ms lie on a line, so half a second of it is all that is left.
        var times = Enumerable.Range(0, 400).Select(i => 0.02 * i).ToArray();

        var noise = new IdleLearner().Learn(times, [.. times.Select(time => 3 * time)]);

        Assert.Equal(1.5, noise!.Value.Smooth, tolerance: 1e-9);
    }
}
