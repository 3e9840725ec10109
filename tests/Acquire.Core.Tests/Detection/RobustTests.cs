using Acquire.Core.Detection;
using Acquire.Core.Tests.Traces;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Detection;

public sealed class RobustTests
{
    [Fact]
    public void The_median_is_the_middle_of_the_sorted_values_and_leaves_its_input_alone()
    {
        Gen.Double[-1e3, 1e3].Array[1, 50].Sample(values =>
        {
            var before = (double[])values.Clone();
            var sorted = values.Order().ToArray();

            var median = Robust.Median(values);

            Assert.Equal((sorted[(sorted.Length - 1) / 2] + sorted[sorted.Length / 2]) / 2, median);
            Assert.Equal(before, values);
        });
        Assert.Equal(0, Robust.Median([]));
    }

    [Fact]
    public void The_middle_of_three_is_their_median()
    {
        Gen.Select(Gen.Double[-9, 9], Gen.Double[-9, 9], Gen.Double[-9, 9]).Sample((a, b, c) => Robust.Median3(a, b, c) == Robust.Median([a, b, c]));
    }

    [Fact]
    public void The_scale_of_normal_noise_is_its_standard_deviation()
    {
        // The factor 1.4826 = 1/Φ⁻¹(3/4) makes the median absolute deviation consistent for a normal distribution;
        // its relative standard deviation is about 1.17/√n, under 1 % here.
        var noise = new Noise(5);
        var values = Enumerable.Range(0, 20_000).Select(_ => 3 * noise.Normal()).ToArray();

        Assert.Equal(3, Robust.Scale(values), tolerance: 0.09);
    }

    [Fact]
    public void A_tenth_of_wild_values_moves_the_scale_little()
    {
        var noise = new Noise(6);
        var values = Enumerable.Range(0, 10_000).Select(i => i % 10 == 0 ? 1e6 : noise.Normal()).ToArray();

        Assert.InRange(Robust.Scale(values), 1.0, 1.3);
    }

    [Fact]
    public void A_coarsely_digitised_quiet_signal_still_has_a_scale()
    {
        var values = Enumerable.Range(0, 1000).Select(i => i % 4 == 0 ? 1.0 : 0.0).ToArray();

        Assert.InRange(Robust.Scale(values), 0.4, 0.6);
        Assert.Equal(0, Robust.Scale(new double[10]));
        Assert.Equal(0, Robust.Scale([]));
    }
}
