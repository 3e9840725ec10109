using Acquire.Core.Detection;
using Acquire.Core.Tests.Traces;
using Xunit;

namespace Acquire.Core.Tests.Detection;

public sealed class FlashTestTests
{
    // The judge asks for 5.5 deviations; a window of noise must stay below that.
    private const double Threshold = 5.5;

    private static DetectorStretch Window(Noise noise, double perSecond, Func<double, double> course)
    {
        var times = Enumerable.Range(0, (int)(2.7 * perSecond)).Select(i => i / perSecond).ToArray();
        return new DetectorStretch(times, Array.ConvertAll(times, time => course(time) + noise.Normal()));
    }

    private static FlashEvidence? Run(DetectorStretch window) =>
        FlashTest.Run(new FlashQuestion(window, NoiseSpectrum.OfWhite(1), leastNoise: 0, slowHeight: 10, from: 0.6, to: 2.2, highest: double.PositiveInfinity, linger: 0));

    // The same where the course of the passes before is known: nothing.
    private static double Beside(DetectorStretch window) =>
        FlashTest.Run(new FlashQuestion(window, NoiseSpectrum.OfWhite(1), leastNoise: 0, slowHeight: 10, from: 0.6, to: 2.2, highest: double.PositiveInfinity, linger: 0) { Known = new(new double[PassCourse.GridPoints], 0) })?.Significance ?? 0;

    [Theory]
    [InlineData(50)]
    [InlineData(200)]
    public void Pure_noise_stays_below_the_threshold(double perSecond)
    {
        var noise = new Noise(31);
        var highest = Enumerable.Range(0, perSecond > 100 ? 25 : 150).Max(_ => Run(Window(noise, perSecond, _ => 0))?.Significance ?? 0);

        Assert.InRange(highest, 0.5, Threshold);
    }

    [Fact]
    public void Slow_halos_and_drifts_stay_below_the_threshold()
    {
        var noise = new Noise(37);
        for (var run = 0; run < 60; run++)
        {
            var (height, middle, width, drift) = (noise.Between(0, 20), noise.Between(0.8, 1.8), noise.Between(0.5, 0.9), noise.Between(-2, 2));

            var evidence = Run(Window(noise, 50, time => (height * Math.Exp(-4 * Math.Log(2) * Math.Pow((time - middle) / width, 2))) + (drift * time)));

            Assert.InRange(evidence?.Significance ?? 0, 0, Threshold);
        }
    }

    // A flame in a draught flickers some one to four times a second (common practice, no source).
    [Theory]
    [InlineData(1.5)]
    [InlineData(2.4)]
    [InlineData(3.5)]
    public void A_flicker_that_keeps_its_beat_is_no_flash_and_hides_little_of_one(double hertz)
    {
        var noise = new Noise(53);
        var (still, flickering, flickerAlone) = (0.0, 0.0, 0.0);
        for (var run = 0; run < 40; run++)
        {
            var (onset, phase) = (noise.Between(0.9, 1.6), noise.Between(0, 2 * Math.PI));
            double Flicker(double time) => 1.4 * Math.Sin((2 * Math.PI * hertz * time) + phase);
            still += Beside(Window(noise, 50, time => 5 * Blink(time - onset)));
            flickering += Beside(Window(noise, 50, time => (5 * Blink(time - onset)) + Flicker(time)));
            flickerAlone = Math.Max(flickerAlone, Beside(Window(noise, 50, Flicker)));
        }

        Assert.InRange(flickerAlone, 0, Threshold);
        Assert.InRange(flickering / still, 0.83, 1.1);
    }

    [Theory]
    [InlineData(50)]
    [InlineData(200)]
    public void The_onset_of_a_clear_blink_is_found_within_ten_milliseconds(double perSecond)
    {
        var noise = new Noise(41);
        var errors = new List<double>();
        var runs = perSecond > 100 ? 20 : 60;
        for (var run = 0; run < runs; run++)
        {
            var onset = noise.Between(0.9, 1.6);

            var evidence = Run(Window(noise, perSecond, time => 40 * Blink(time - onset)))!.Value;

            Assert.True(evidence.Significance > Threshold);
            Assert.InRange(evidence.Height, 30, 50);
            errors.Add(Math.Abs(evidence.OnsetSeconds - onset));
        }

        // The goal for a flash of 8 deviations at 50 readings a second is 10 ms in 95 of 100 cases; a clear one does no worse.
        errors.Sort();
        Assert.InRange(errors[(runs * 95 / 100) - 1], 0, 0.01);
        Assert.InRange(errors[^1], 0, 0.02);
    }

    [Fact]
    public void The_height_and_its_uncertainty_scale_with_the_unit_and_the_significance_does_not()
    {
        var window = Window(new Noise(43), 50, time => 40 * Blink(time - 1.2));
        var plain = FlashTest.Run(new FlashQuestion(window, NoiseSpectrum.OfWhite(1), 1, 40, 0.6, 2.2, 60, 0))!.Value;

        foreach (var unit in new[] { 1e-4, 1e4, 1e-90, 1e90 })
        {
            var scaled = FlashTest.Run(new FlashQuestion(window with { Values = Array.ConvertAll(window.Values.ToArray(), value => unit * value) }, NoiseSpectrum.OfWhite(unit), unit, 40 * unit, 0.6, 2.2, 60 * unit, 0))!.Value;

            Assert.Equal(plain.OnsetSeconds, scaled.OnsetSeconds);
            Assert.Equal(plain.Height, scaled.Height / unit, 6);
            Assert.Equal(plain.Significance, scaled.Significance, 6);
        }
    }

    [Fact]
    public void A_few_readings_hold_no_evidence()
    {
        Assert.Null(Run(new DetectorStretch([0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6], new double[7])));
        Assert.Null(Run(new DetectorStretch([], [])));
    }

    [Fact]
    public void Noise_far_below_what_numbers_can_carry_is_no_evidence_and_no_failure()
    {
        var window = Window(new Noise(47), 50, time => 1e9 * Blink(time - 1.2));

        var evidence = FlashTest.Run(new FlashQuestion(window, NoiseSpectrum.OfWhite(1e-12), 1e-12, 1e12, 0.6, 2.2, 1e12, 0));

        Assert.True(evidence is null || double.IsFinite(evidence.Value.Significance));
    }

    private static FlashQuestion Question(DetectorStretch window) =>
        new(window, NoiseSpectrum.OfWhite(1), leastNoise: 0, slowHeight: 10, from: 0.6, to: 2.2, highest: double.PositiveInfinity, linger: 0);

    // Times scatter over nine tenths of the spacing.
    private static DetectorStretch Uneven(Noise noise, double perSecond, Func<double, double> course)
    {
        var times = Enumerable.Range(0, (int)(2.7 * perSecond)).Select(i => (i + (0.9 * noise.Between(0, 1))) / perSecond).ToArray();
        return new DetectorStretch(times, Array.ConvertAll(times, time => course(time) + noise.Normal()));
    }

    [Theory]
    [InlineData(45)]
    [InlineData(50)]
    [InlineData(200)]
    public void Uneven_readings_that_show_no_flash_show_none_on_an_even_spacing_and_a_flash_is_asked_of_the_readings_themselves(double perSecond)
    {
        var noise = new Noise(59);
        var (calm, respaced) = (0, 0);
        for (var run = 0; run < 40; run++)
        {
            // 3 deviations may be a flash or none; 6 are one, and so it has to be found as it stands.
            var (onset, height) = (noise.Between(0.9, 1.6), run % 4 switch { 0 => 0.0, 1 => 0, 2 => 3, _ => 6 });
            var window = Uneven(noise, perSecond, time => height * Blink(time - onset));

            var exact = FlashTest.Run(Question(window))!.Value;
            var quick = FlashTest.RunQuickly(Question(window))!.Value;

            respaced += quick == exact ? 0 : 1;
            calm += quick.Significance < 3.2 ? 1 : 0;
            if (quick != exact)
            {
                Assert.InRange(quick.Significance, 0, 3.2);
                Assert.InRange(exact.Significance, 0, 3.9);
            }

            Assert.True(height < 6 || quick == exact, $"run {run}: {quick}, {exact}");
        }

        Assert.InRange(calm, 4, 35);
        Assert.InRange(respaced, 4, calm);
    }

    [Theory]
    [InlineData(45)]
    [InlineData(50)]
    [InlineData(120)]
    public void Uneven_readings_that_may_show_a_flash_are_told_the_same_by_the_ideas_that_may_matter_as_by_all(double perSecond)
    {
        // A draught that keeps its beat (common practice, no source), and passes before that showed nothing: every idea is there to be asked.
        var noise = new Noise(67);
        var asked = 0;
        for (var run = 0; run < 24; run++)
        {
            var (onset, phase, draught) = (noise.Between(0.9, 1.6), noise.Between(0, 2 * Math.PI), run % 3 * 0.8);
            var window = Uneven(noise, perSecond, time => (6 * Blink(time - onset)) + (draught * Math.Sin((2 * Math.PI * 2.4 * time) + phase)));
            var question = Question(window) with { Known = new(new double[PassCourse.GridPoints], 0) };

            var (all, some) = (FlashTest.Run(question)!.Value, FlashTest.RunQuickly(question)!.Value);

            asked += all.Significance >= 5 ? 1 : 0;
            Assert.True(all.Significance < 5 || all == some, $"run {run}: {all}, {some}");
        }

        Assert.InRange(asked, 5, 24);
    }

    [Theory]
    [InlineData(45)]
    [InlineData(200)]
    public void Where_a_second_detector_may_confirm_what_it_is_asked_from_on_is_seen(double perSecond)
    {
        var noise = new Noise(71);
        for (var run = 0; run < 60; run++)
        {
            var onset = noise.Between(0.9, 1.6);
            var question = Question(Uneven(noise, perSecond, time => 4 * Blink(time - onset)));

            var (exact, quick) = (FlashTest.Run(question)!.Value, FlashTest.RunQuickly(question, shared: true)!.Value);

            Assert.True(quick == exact || (quick.Significance < 2.5 && exact.Significance < SuddenPart.SharedDeviations), $"run {run}: {quick}, {exact}");
        }
    }

    [Fact]
    public void Ideas_far_behind_the_likeliest_do_not_matter()
    {
        static FlashIdea Idea(double none, double above) => new(new FlashEvidence(1, 1, 1, 0, Math.Sqrt(2 * above)), none);
        var logs = new IdeaLogs();
        Span<bool> matter = stackalloc bool[8];

        // The likeliest without a flash has -100, the likeliest with one -90.
        logs.Begin(Idea(-100, 10));
        logs.Add(Idea(-102.9, 1));
        logs.Add(Idea(-103.1, 10.2));
        logs.Add(Idea(-103.1, 9));
        logs.Add(null);
        logs.Add(new FlashIdea(null, -100.5));

        Assert.Equal(5, logs.Matter(matter));
        Assert.Equal([true, true, false, true, true], matter[..5].ToArray());

        // Where numbers failed everything is asked.
        logs.Add(Idea(double.NaN, 1));
        Assert.Equal(6, logs.Matter(matter));
        Assert.DoesNotContain(false, matter[..6].ToArray());

        logs.Begin(Idea(-100, 10));
        Assert.Equal(0, logs.Matter(matter));
    }

    [Theory]
    [InlineData(0.05, 0)]
    [InlineData(0.07, 1)]
    [InlineData(0.1, 2)]
    [InlineData(0.125, 2)]
    [InlineData(0.2, 4)]
    public void Shapes_that_slow_readings_make_the_same_are_looked_for_once(double spacing, int doubles)
    {
        var times = Enumerable.Range(0, 40).Select(i => i * spacing).ToArray();
        var grid = new FlashGrid(times, spacing, 0.5, 1);
        var asked = Enumerable.Range(0, grid.Count).Select(i => grid[i].Shape).ToHashSet();

        Assert.Equal(FlashShapes.Count - doubles, asked.Count);
        for (var shape = 0; shape < FlashShapes.Count; shape++)
        {
            var like = FlashShapes.FirstLike(shape, spacing);
            Assert.Contains(like, asked);
            Assert.True(FlashShapes.Rarity(like, late: false) <= FlashShapes.Rarity(shape, late: false));
            for (var after = -0.01; after < 0.6; after += 0.003)
            {
                Assert.Equal(FlashShapes.At(shape, after, spacing), FlashShapes.At(like, after, spacing));
            }
        }
    }

    [Fact]
    public void Where_a_reading_is_lost_nothing_is_changed_but_the_place_between_its_neighbours()
    {
        // A straight line is a straight line on any spacing; beside a hole of more than two spacings the readings are left as they are.
        var times = Enumerable.Range(0, 135).Where(i => i != 60).Select(i => i / 50.0).ToArray();
        var points = new WindowPoints();
        points.Take(Question(new(times, Array.ConvertAll(times, t => 3 + (2 * t)))), evenly: true);

        Assert.True(points.Respaced && points.Even);
        Assert.Equal((132, 0.02), (points.Count, Math.Round(points.SpacingSeconds, 9)));
        for (var i = 0; i < points.Count; i++)
        {
            Assert.Equal(i * 0.02, points.Times[i], 9);
            Assert.Equal(3 + (2 * points.Times[i]), points.Values[i] * points.Unit, 9);
        }

        var holed = times.Where(t => t is < 1.3 or > 1.341).ToArray();
        points.Take(Question(new(holed, new double[holed.Length])), evenly: true);
        Assert.False(points.Respaced || points.Even);
    }

    [Fact]
    public void Even_readings_are_left_as_they_are()
    {
        var window = Window(new Noise(61), 50, time => 6 * Blink(time - 1.2));

        Assert.Equal(FlashTest.Run(Question(window)), FlashTest.RunQuickly(Question(window)));
    }

    // From a microsecond to a day between readings, and times as late as a month: no failure, and nothing that is no number.
    [Theory]
    [InlineData(1e-6)]
    [InlineData(1e-3)]
    [InlineData(1)]
    [InlineData(86_400)]
    public void Uneven_readings_of_any_spacing_are_borne(double spacing)
    {
        var noise = new Noise(67);
        foreach (var first in new[] { 0, 2.6e6 })
        {
            var times = new double[400];
            for (var i = 0; i < times.Length; i++)
            {
                times[i] = first + (spacing * (i + (0.9 * noise.Between(0, 1))));
            }

            var found = FlashTest.RunQuickly(Question(new(times, Array.ConvertAll(times, _ => noise.Normal()))) with { From = first, To = Math.Min(times[^1], first + 10) });

            Assert.True(found is null || double.IsFinite(found.Value.Significance));
        }
    }

    // Rises in 20 ms, holds 80 ms, falls in 50 ms.
    private static double Blink(double after) => after < 0 ? 0 : after < 0.02 ? after / 0.02 : after < 0.1 ? 1 : Math.Max(0, 1 - ((after - 0.1) / 0.05));
}
