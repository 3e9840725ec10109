using Acquire.Core.Detection;
using Xunit;

namespace Acquire.Core.Tests.Detection;

/// <summary>The hum of the mains. 50 and 60 Hz: IEC 60038. How it folds: the sampling theorem, f less the nearest multiple of the rate.</summary>
public class MainsHumTests
{
    private const double StretchSeconds = 8;

    private static (NoiseSpectrum Spectrum, double[] Hums) Learn(double rowsPerSecond, Func<double, Random, double> value, int seed, int stretches = 6)
    {
        var (random, learner, hums) = (new Random(seed), new SpectrumLearner(), new double[stretches]);
        var history = new DetectorHistory();
        for (var stretch = 0; stretch < stretches; stretch++)
        {
            var from = stretch * 20.0;
            for (var i = 0; i < StretchSeconds * rowsPerSecond; i++)
            {
                var t = from + (i / rowsPerSecond);
                history.Add(t, value(t, random));
            }

            learner.Learn(history, from, from + StretchSeconds);
            hums[stretch] = learner.Spectrum!.Hum;
        }

        return (learner.Spectrum!, hums);
    }

    private static double Noise(Random random) => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());

    [Theory]
    [InlineData(45, 50.03, 5.03)]
    [InlineData(55, 50.03, 4.97)]
    [InlineData(49, 50.03, 1.03)]
    [InlineData(200, 49.9, 49.9)]
    [InlineData(500, 100.1, 100.1)]
    [InlineData(45, 60.02, 15.02)]
    [InlineData(500, 120, 120)]
    public void It_is_found_where_it_folds_to_and_the_noise_is_told_without_it(double rowsPerSecond, double hertz, double folded)
    {
        var (spectrum, _) = Learn(rowsPerSecond, (t, random) => Noise(random) + (2 * Math.Sin(2 * Math.PI * hertz * t)), seed: 3);

        // Half the square of the amplitude is the variance of a sine.
        Assert.Equal(folded, spectrum.HumHertz, tolerance: 0.03);
        Assert.InRange(spectrum.Hum, 0.9 * 2, 1.1 * 2);
        Assert.InRange(spectrum.Variance, 0.85, 1.15);
    }

    [Fact]
    public void At_half_the_rate_it_is_taken_off_once_and_not_twice()
    {
        // Two readings a wave, at its tops: 2 and -2 in turn, a variance of 4.
        var (spectrum, hums) = Learn(100, (t, random) => Noise(random) + (2 * Math.Cos(2 * Math.PI * 50 * t)), seed: 6);

        Assert.InRange(spectrum.Variance, 0.85, 1.15);
        Assert.All(hums, hum => Assert.InRange(hum, 3.6, 4.4));
    }

    [Fact]
    public void Noise_a_draught_and_a_drift_are_no_hum()
    {
        var found = 0;
        for (var seed = 1; seed <= 40; seed++)
        {
            foreach (var rows in new[] { 25.0, 45, 50, 60 })
            {
                var (_, hums) = Learn(rows, (t, random) => Noise(random) + (2 * Math.Sin((2 * Math.PI * 2.3 * t) + Math.Sin(0.9 * t))) + (0.4 * t), seed, stretches: 3);
                found += hums.Any(hum => hum > 0) ? 1 : 0;
            }
        }

        // One stretch in some ten thousand may look so by chance.
        Assert.Equal(0, found);
    }

    [Fact]
    public void A_hum_that_ends_is_forgotten()
    {
        var (_, hums) = Learn(45, (t, random) => Noise(random) + (t < 50 ? 2 * Math.Sin(2 * Math.PI * 50.03 * t) : 0), seed: 4);

        Assert.All(hums[..3], hum => Assert.InRange(hum, 1.5, 2.5));
        Assert.All(hums[3..], hum => Assert.Equal(0, hum));
    }

    [Fact]
    public void A_tenth_of_the_readings_at_uneven_times_hides_it_and_harms_nothing()
    {
        var (random, learner, history) = (new Random(5), new SpectrumLearner(), new DetectorHistory());
        for (var i = 0; i < 400; i++)
        {
            var t = (i / 45.0) + (i % 10 == 0 ? 0.012 : 0);
            history.Add(t, Noise(random) + (2 * Math.Sin(2 * Math.PI * 50.03 * t)));
        }

        learner.Learn(history, 0, 9);

        Assert.Equal(0, learner.Spectrum!.Hum);
        Assert.InRange(learner.Spectrum.Variance, 2, 4.5);
    }
}
