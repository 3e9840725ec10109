using Acquire.Core.Detection;
using Xunit;

namespace Acquire.Core.Tests.Detection;

/// <summary>The hum of the mains. 50 and 60 Hz: IEC 60038. How it folds: the sampling theorem, f less the nearest multiple of the rate.</summary>
public class MainsHumTests
{
    private const double StretchSeconds = 8;

    private static (NoiseSpectrum Spectrum, double[] Hums) Learn(double rowsPerSecond, Func<double, Random, double> value, int seed, int stretches = 6, double scatter = 0)
    {
        var (random, learner, hums) = (new Random(seed), new SpectrumLearner(), new double[stretches]);
        var history = new DetectorHistory();
        for (var stretch = 0; stretch < stretches; stretch++)
        {
            var from = stretch * 20.0;
            for (var i = 0; i < StretchSeconds * rowsPerSecond; i++)
            {
                var t = from + ((i + (scatter > 0 ? scatter * random.NextDouble() : 0)) / rowsPerSecond);
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

    [Theory]
    [InlineData(0)]
    [InlineData(0.9)]
    public void Noise_a_draught_and_a_drift_are_no_hum(double scatter)
    {
        var found = 0;
        for (var seed = 1; seed <= 40; seed++)
        {
            foreach (var rows in new[] { 25.0, 45, 50, 60 })
            {
                var (_, hums) = Learn(rows, (t, random) => Noise(random) + (2 * Math.Sin((2 * Math.PI * 2.3 * t) + Math.Sin(0.9 * t))) + (0.4 * t), seed, stretches: 3, scatter);
                found += hums.Any(hum => hum > 0) ? 1 : 0;
            }
        }

        // One search in some five hundred may look so by chance.
        Assert.Equal(0, found);
    }

    [Fact]
    public void A_hum_that_ends_is_forgotten()
    {
        var (_, hums) = Learn(45, (t, random) => Noise(random) + (t < 50 ? 2 * Math.Sin(2 * Math.PI * 50.03 * t) : 0), seed: 4);

        Assert.All(hums[..3], hum => Assert.InRange(hum, 1.5, 2.5));
        Assert.All(hums[3..], hum => Assert.Equal(0, hum));
    }

    // As above, times scattered: uneven readings fold a frequency to none, and it is found where it is (Lomb, Astrophysics and Space
    // Science 39 (1976), 447: the periodogram of unevenly spaced data).
    [Theory]
    [InlineData(45, 50.03, 0.9)]
    [InlineData(50, 50.03, 0.9)]
    [InlineData(50, 59.98, 0.5)]
    [InlineData(200, 49.9, 0.9)]
    [InlineData(500, 100.1, 0.9)]
    [InlineData(25, 50.03, 0.9)]
    public void Where_readings_come_unevenly_it_is_found_by_their_times_and_its_phase_holds(double rowsPerSecond, double hertz, double scatter)
    {
        var (random, learner, history) = (new Random(7), new SpectrumLearner(), new DetectorHistory());
        double Hum(double t) => 2 * Math.Sin(2 * Math.PI * hertz * t);
        for (var i = 0; i < 8 * rowsPerSecond; i++)
        {
            var t = 100_000 + ((i + (scatter * random.NextDouble())) / rowsPerSecond);
            history.Add(t, Noise(random) + Hum(t));
        }

        learner.Learn(history, 100_000, 100_008);

        var spectrum = learner.Spectrum!;
        Assert.True(spectrum.HumByTimes);
        Assert.Equal(hertz, spectrum.HumHertz, tolerance: 0.02);
        Assert.InRange(spectrum.Hum, 0.75 * 2, 1.25 * 2);
        Assert.InRange(spectrum.Variance, 0.8, 1.2);

        // Three seconds later, when a pass is over, nine tenths of its variance can still be taken off.
        var wave = learner.Hum!.Value;
        var left = Enumerable.Range(0, 300).Average(i => Math.Pow(wave.At(100_008 + (0.01 * i)) - Hum(100_008 + (0.01 * i)), 2));
        Assert.InRange(left, 0, 0.1 * 2);
    }

    [Fact]
    public void What_is_taken_off_readings_is_no_noise_and_what_cannot_be_stays_noise()
    {
        var wave = new HumWave(50, 2, 1, 100, 108, 800);
        var times = Enumerable.Range(0, 50).Select(i => 107.5 + (0.023 * i)).ToArray();
        var readings = new DetectorStretch(times, Array.ConvertAll(times, t => 7 + wave.At(t)));
        NoiseSpectrum? noise = NoiseSpectrum.OfWhite(1) with { Hum = 2.5, HumHertz = 50, HumByTimes = true };
        var before = noise;

        Assert.All(HumWave.TakeOff(wave, readings, double.PositiveInfinity, ref noise).Values.ToArray(), value => Assert.Equal(7, value, 9));
        Assert.Equal(0, noise!.Hum);
        Assert.InRange(noise.WhiteWithHum, 1, 1.02);

        // Too old, begun too late, or none: nothing is changed, and all of it is noise.
        foreach (var other in new HumWave?[] { wave with { UntilSeconds = 102 }, wave with { FromSeconds = 107.6 }, null })
        {
            noise = before;
            Assert.Equal(readings.Values.ToArray(), HumWave.TakeOff(other, readings, double.PositiveInfinity, ref noise).Values.ToArray());
            Assert.Equal((2.5, 3.5), (noise!.Hum, noise.WhiteWithHum));
        }

        // Found where evenly read readings fold it: the test fits it, and nothing is taken off.
        noise = before with { HumByTimes = false };
        Assert.Equal(readings.Values.ToArray(), HumWave.TakeOff(wave, readings, double.PositiveInfinity, ref noise).Values.ToArray());
        Assert.Equal(1, noise!.WhiteWithHum);
    }

    // Uneven times lend power of a slow wander to 50 Hz where the mains are a multiple of the rate: the less they scatter, the more.
    [Theory]
    [InlineData(25, 0.3)]
    [InlineData(50, 0.5)]
    [InlineData(50, 0.7)]
    [InlineData(60, 0.5)]
    [InlineData(100, 0.5)]
    public void A_slow_wander_at_uneven_times_is_no_hum(double rowsPerSecond, double scatter)
    {
        for (var seed = 1; seed <= 20; seed++)
        {
            var (_, hums) = Learn(rowsPerSecond, (t, random) => Noise(random) + (3 * Math.Sin(2 * Math.PI * 0.1 * t)), seed, stretches: 1, scatter);
            Assert.Equal([0.0], hums);
        }
    }

    // Mains keep to some tenths of a hertz, and wander by hundredths within a minute (common practice, no source).
    [Fact]
    public void Its_frequency_is_followed_from_stretch_to_stretch()
    {
        var (random, learner, history) = (new Random(9), new SpectrumLearner(), new DetectorHistory());
        for (var stretch = 0; stretch < 4; stretch++)
        {
            var hertz = 50 + (stretch % 2 * 0.1);
            var from = 60.0 * stretch;
            double Hum(double t) => 2 * Math.Sin(2 * Math.PI * hertz * t);
            for (var i = 0; i < 400; i++)
            {
                var t = from + ((i + (0.9 * random.NextDouble())) / 50);
                history.Add(t, Noise(random) + Hum(t));
            }

            learner.Learn(history, from, from + 8);

            var wave = learner.Hum!.Value;
            Assert.Equal(hertz, wave.Hertz, tolerance: 0.02);
            Assert.InRange(Enumerable.Range(0, 300).Average(i => Math.Pow(wave.At(from + 8 + (0.01 * i)) - Hum(from + 8 + (0.01 * i)), 2)), 0, 0.15 * 2);
        }
    }

    [Fact]
    public void One_stretch_with_a_lost_reading_does_not_lose_it()
    {
        var (random, learner, history) = (new Random(10), new SpectrumLearner(), new DetectorHistory());
        for (var stretch = 0; stretch < 5; stretch++)
        {
            for (var i = 0; i < 440; i++)
            {
                var t = (20 * stretch) + (i / 55.0);
                if (stretch != 2 || i != 200)
                {
                    history.Add(t, Noise(random) + (2 * Math.Sin(2 * Math.PI * 50.03 * t)));
                }
            }

            learner.Learn(history, 20 * stretch, (20 * stretch) + 8);

            // Times with one hole fold 50.03 and 59.97 Hz alike; either is taken off.
            var (spectrum, byTimes) = (learner.Spectrum!, stretch == 2);
            Assert.Equal(byTimes, spectrum.HumByTimes);
            Assert.Equal(byTimes ? 4.97 : 0, byTimes ? Math.Abs(spectrum.HumHertz - 55) : spectrum.HumHertz - 4.97, tolerance: 0.03);
            Assert.InRange(spectrum.Hum, 1.6, 2.4);
            Assert.InRange(spectrum.Variance, 0.8, 1.2);
        }
    }

    [Fact]
    public void A_hum_that_lost_readings_leave_a_drift_is_none()
    {
        // 50 readings a second, some of them lost: a hum of 50.03 Hz turns by 0.03 Hz, and is followed as a drift.
        var (random, learner, history) = (new Random(8), new SpectrumLearner(), new DetectorHistory());
        for (var i = 0; i < 450; i++)
        {
            if (random.NextDouble() > 0.05)
            {
                history.Add(i / 50.0, Noise(random) + (2 * Math.Sin(2 * Math.PI * 50.03 * i / 50.0)));
            }
        }

        learner.Learn(history, 0, 9);

        Assert.Equal(0, learner.Spectrum!.Hum);
        Assert.Null(learner.Hum);
    }
}
