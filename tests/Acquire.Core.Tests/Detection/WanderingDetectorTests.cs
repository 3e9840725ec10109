using Acquire.Core.Detection;
using Acquire.Core.Tests.Traces;
using Xunit;

namespace Acquire.Core.Tests.Detection;

/// <summary>Burns before a detector whose level at rest wanders by more than its noise, and passes whose halo outgrows those before.</summary>
public sealed class WanderingDetectorTests
{
    private const double PerSecond = 50, PassHeight = 12, FromSeconds = 182;
    private const int Seeds = 24;

    // Wanders by 1.4 deviations of a reading in a second, and so by 3 while a fire proves itself.
    private static RestNoise Wandering(int seed) => new(seed, PerSecond) { Walk = 1.4 };

    // A flash that rises in 20 ms and is over after 150, by seconds since its onset.
    private static double Flash(double t, double height) => t < 0 ? 0 : t < 0.02 ? height * t / 0.02 : t < 0.1 ? height : Math.Max(0, height * (0.15 - t) / 0.05);

    // A pool flame of a cup's size flickers at 1 to 6 Hz by some tens of per cent (common practice, no source); it goes out within a quarter of a second.
    private static Func<double, double> Burn(Noise draw, double height, double seconds)
    {
        var waves = Enumerable.Range(0, 3).Select(_ => (Hertz: draw.Between(1, 6), Phase: draw.Between(0, 6.28))).ToArray();
        return t => t < 0 ? 0 : height * Math.Min(1, t / 0.1) * Math.Clamp((seconds + 0.25 - t) / 0.25, 0, 1) * Math.Max(0.3, 1 + (0.17 * waves.Sum(wave => Math.Sin((6.28 * wave.Hertz * t) + wave.Phase))));
    }

    private static Func<double, double> With(Func<double, double> burn, Func<double, Func<double, double>, double> what) => t => what(t, burn);

    private static Func<double, double> Halo(double middle, double height) => t => height * Math.Exp(-4 * Math.Log(2) * Math.Pow((t - middle) / 0.6, 2));

    private static (WatchBench Bench, double Onset) Play(int seed, RestNoise noise, double onsetAfter, Func<Noise, Func<double, double>> glow, double halo = 0, int ago = 0, Func<double, double>? glowAgo = null)
    {
        var bench = new WatchBench(PerSecond, noise, seed) { PassHeight = PassHeight };
        for (var until = 12; until < FromSeconds; until += 20)
        {
            bench.Until(until);
            var start = FromSeconds + 10 - (20 * ago);
            bench.Pass(glowAgo is not null && until == start ? t => glowAgo(t - start) : null);
        }

        bench.Until(FromSeconds);
        var (onset, lit) = (FromSeconds + onsetAfter, glow(new Noise(seed + 7919)));
        var grown = Halo(FromSeconds + 0.5, halo);
        bench.Pass(t => grown(t) + lit(t - onset), afterwards: 14);
        return (bench, onset);
    }

    // A level that comes and stays: no flame, for it takes its time.
    private static double Creep(double t, double first, double perSecond) => t < 0 ? 0 : (first * Math.Min(1, t)) + (perSecond * Math.Clamp(t - 1, 0, 7));

    private static WatchEvent.Sustained? Fire(WatchBench bench) => bench.Events.Select(one => one.Seen).OfType<WatchEvent.Sustained>().FirstOrDefault();

    private static void AssertFire(WatchBench bench, double onset, int seed)
    {
        var fire = Fire(bench);
        Assert.True(fire is not null, $"no fire, seed {seed}");
        Assert.True(Math.Abs(fire.Onset - onset) < 0.5, $"onset {fire.Onset - onset:0.00} s off, seed {seed}");
    }

    [Fact]
    public void A_burn_that_ducks_as_its_pass_is_judged_is_a_fire_from_its_onset_on()
    {
        for (var seed = 1; seed <= Seeds; seed++)
        {
            var (bench, onset) = Play(seed, Wandering(seed), 0.45, draw => Burn(draw, 20, 7));

            AssertFire(bench, onset, seed);
        }
    }

    [Fact]
    public void Wandering_after_a_flash_is_no_fire()
    {
        for (var seed = 1; seed <= 4 * Seeds; seed++)
        {
            var (bench, _) = Play(seed, Wandering(seed), 0.45, _ => t => Flash(t, 30));

            Assert.True(Fire(bench) is null, $"a fire, seed {seed}");
        }
    }

    [Fact]
    public void Wandering_does_not_prolong_a_burn_that_went_out_before_its_seconds()
    {
        for (var seed = 1; seed <= 4 * Seeds; seed++)
        {
            var (bench, onset) = Play(seed, Wandering(seed), 0.45, draw => Burn(draw, 16, 3.7));

            Assert.True(Fire(bench) is null, $"a fire told of {Fire(bench)?.Onset - onset:0.00} s after the onset, at {Fire(bench)?.At - onset:0.00} s, seed {seed}");
            Assert.All(bench.Events.Select(one => one.Seen).OfType<WatchEvent.WentOut>(), burn => Assert.False(burn.LongEnough));
        }
    }

    [Fact]
    public void A_level_that_creeps_away_after_a_flash_is_no_fire_however_far_it_comes()
    {
        for (var seed = 1; seed <= Seeds; seed++)
        {
            var (bench, _) = Play(seed, new RestNoise(seed, PerSecond) { Walk = 0.7 }, 0.45, _ => t => Flash(t, 30) + Creep(t, 3, 1.5));

            Assert.True(Fire(bench) is null, $"a fire, seed {seed}");
        }
    }

    [Theory]
    [InlineData(3.5, 20)]
    [InlineData(4.5, 20)]
    [InlineData(4.5, 60)]
    public void What_lights_by_itself_while_a_level_is_left_from_a_flash_is_called_at_once(double after, double height)
    {
        for (var seed = 1; seed <= Seeds; seed++)
        {
            var (bench, onset) = Play(seed, new RestNoise(seed, PerSecond) { Walk = 0.7 }, 0.45, draw => With(Burn(draw, height, 7), (t, burn) => Flash(t, 30) + Creep(t, 3, 0.5) + burn(t - after)));

            var told = bench.Events.Where(one => one.Seen is WatchEvent.Stray).Select(one => one.At - onset - after).ToArray();
            Assert.True(told.Length == 1 && told[0] is > 0 and < 0.5, $"ignition called {string.Join(", ", told)} s after it, seed {seed}");
            Assert.True(Fire(bench) is null, $"a fire, seed {seed}");
        }
    }

    [Theory]
    [InlineData(0.25, 1)]
    [InlineData(0.25, 2.5)]
    [InlineData(0.4, 2)]
    public void A_flame_that_a_draught_lays_flat_is_the_same_flame_when_it_comes_back(double share, double until)
    {
        for (var seed = 1; seed <= Seeds; seed++)
        {
            // Burns as it flashes, lies flat for a while before it is first looked at, and stands up again.
            var (bench, onset) = Play(seed, new RestNoise(seed, PerSecond) { Walk = 0.4 }, 0.45, draw => With(Burn(draw, 30, 7), (t, burn) => (t is > 0.9 && t < 0.9 + until ? share : 1) * burn(t)));

            Assert.DoesNotContain(bench.Events, one => one.Seen is WatchEvent.Stray);
            AssertFire(bench, onset, seed);
        }
    }

    [Fact]
    public void What_shines_while_the_test_flame_is_over_a_level_that_was_left_is_no_ignition_by_itself()
    {
        var over = 0;
        for (var seed = 1; seed <= Seeds; seed++)
        {
            var bench = new WatchBench(PerSecond, new RestNoise(seed, PerSecond) { Walk = 0.4 }, seed) { PassHeight = PassHeight };
            for (var until = 12; until <= 172; until += 20)
            {
                bench.Until(until);
                bench.Pass();
            }

            // The level stays until the flame comes again, five seconds later, and lights vapour that burns for half a second.
            bench.Until(FromSeconds);
            double Glow(double t) => Flash(t - FromSeconds - 0.45, 30) + Creep(t - FromSeconds - 0.45, 5, 0.5);
            bench.Pass(Glow);
            bench.Until(FromSeconds + 5, Glow);
            bench.Pass(t => Glow(t) + (t - FromSeconds - 5 is > 0.3 and < 0.8 ? 60 : 0), afterwards: 8);

            over += bench.Events.Any(one => one.Seen is WatchEvent.PassedOverFire) ? 1 : 0;
            Assert.DoesNotContain(bench.Events, one => one.Seen is WatchEvent.Stray);
        }

        Assert.InRange(over, Seeds / 2, Seeds);
    }

    [Theory]
    [InlineData(1.8)]
    [InlineData(2.5)]
    [InlineData(2.9)]
    public void A_short_burn_is_not_prolonged_by_the_level_it_leaves_nor_by_a_bump_after_it(double seconds)
    {
        for (var seed = 1; seed <= Seeds; seed++)
        {
            // Dark for nearly as long as it burned, and longer.
            var bump = Halo(4.2, 5);
            var (left, _) = Play(seed, new RestNoise(seed, PerSecond) { Walk = 0.7 }, 0.45, draw => With(Burn(draw, 16, seconds), (t, burn) => burn(t) + Creep(t - seconds, 5, 0)));
            var (bumped, _) = Play(seed, new RestNoise(seed, PerSecond) { Walk = 1 }, 0.45, draw => With(Burn(draw, 16, seconds), (t, burn) => burn(t) + bump(t) + Creep(t - seconds, 1.5, 0)));

            Assert.True(Fire(left) is null, $"a fire, seed {seed}");
            Assert.True(Fire(bumped) is null, $"a fire with a bump, seed {seed}");
        }
    }

    [Fact]
    public void A_fire_of_which_the_readings_after_the_flame_are_lost_is_a_fire()
    {
        for (var seed = 1; seed <= Seeds; seed++)
        {
            // Lit half a second before the flame leaves; nothing came from a quarter of a second after it left to 1.6 s.
            var (bench, onset) = Play(seed, new RestNoise(seed, PerSecond) { Walk = 0.7 }, 0.5, draw => With(Burn(draw, 20, 7), (t, burn) => t is > 0.75 and < 2.1 ? double.NaN : burn(t)));

            AssertFire(bench, onset, seed);
        }
    }

    [Fact]
    public void The_tail_of_a_strong_flash_in_a_slow_detector_does_not_hide_a_burn_after_it()
    {
        for (var seed = 1; seed <= Seeds; seed++)
        {
            // A flash of 200 for a tenth of a second, as the flame leaves, seen with a lag of 0.3 s; its tail is higher than the burn at first.
            const double lag = 0.3, lit = 0.1, height = 200;
            double Tail(double t) => t < 0 ? 0 : t < lit ? height * (1 - Math.Exp(-t / lag)) : height * (1 - Math.Exp(-lit / lag)) * Math.Exp((lit - t) / lag);
            var (bench, onset) = Play(seed, new RestNoise(seed, PerSecond), 0.95, draw => With(Burn(draw, 12, 7), (t, burn) => burn(t) + Tail(t)));

            AssertFire(bench, onset, seed);
        }
    }

    [Fact]
    public void What_one_pass_left_by_chance_does_not_hide_a_fire()
    {
        for (var seed = 1; seed <= Seeds; seed++)
        {
            // A bubble of foam breaks as one of the newest passes is judged.
            var (bench, onset) = Play(seed, new RestNoise(seed, PerSecond) { Walk = 0.7 }, 0.45, draw => Burn(draw, 20, 7), ago: 3, glowAgo: Halo(2, 10));

            AssertFire(bench, onset, seed);
        }
    }

    [Fact]
    public void After_a_flash_a_weak_fire_is_mostly_told_before_a_detector_that_wanders()
    {
        var told = 0;
        for (var seed = 1; seed <= 2 * Seeds; seed++)
        {
            var (bench, onset) = Play(seed, new RestNoise(seed, PerSecond) { Walk = 1 }, 0.45, draw => Burn(draw, 8, 7), ago: 1, glowAgo: t => Flash(t - 0.4, 20));
            told += Fire(bench) is { } fire && Math.Abs(fire.Onset - onset) < 1 ? 1 : 0;
        }

        Assert.InRange(told, 40, 2 * Seeds);
    }

    [Fact]
    public void Wandering_and_slow_bumps_after_a_pass_are_no_flash()
    {
        for (var seed = 1; seed <= 4 * Seeds; seed++)
        {
            // Foam that breaks: bumps of some deviations and about a second.
            var (bench, _) = Play(seed, Wandering(seed), 0, draw =>
            {
                var bumps = Enumerable.Range(0, 3).Select(k => Halo(1.5 + (1.2 * k) + draw.Between(-0.3, 0.3), draw.Between(2, 6))).ToArray();
                return t => bumps.Sum(bump => bump(t));
            });

            Assert.DoesNotContain(bench.Events, one => one.Seen is WatchEvent.Judged { Verdict.Flash: true });
        }
    }

    [Theory]
    [InlineData(1.2)]
    [InlineData(1.3)]
    [InlineData(1.5)]
    public void A_late_flash_that_burns_on_began_when_it_lit_and_not_with_the_pass_whose_halo_has_grown(double onsetAfter)
    {
        for (var seed = 1; seed <= Seeds; seed++)
        {
            var (bench, onset) = Play(seed, new RestNoise(seed, PerSecond), onsetAfter, draw => With(Burn(draw, 20, 7), (t, burn) => burn(t) + Flash(t, 8)), halo: 14);

            AssertFire(bench, onset, seed);
        }
    }

    [Fact]
    public void A_fire_began_where_it_lit_and_not_where_it_flickers_back_later()
    {
        for (var seed = 1; seed <= Seeds; seed++)
        {
            // Lights within 0.15 s, ducks by more than half for 0.13 s, and is back at once.
            const double height = 18;
            var (bench, onset) = Play(seed, new RestNoise(seed, PerSecond), 0.3, draw => With(Burn(draw, height, 7), (t, burn) => t < 0 ? 0 : Math.Min(1, t / 0.15) * (t >= 1 ? burn(t) : t is < 0.57 or > 0.7 ? height : 0.45 * height)));

            AssertFire(bench, onset, seed);
        }
    }

    [Fact]
    public void A_fire_that_grows_began_where_it_lit_and_not_with_the_halo_that_stood_before_it()
    {
        for (var seed = 1; seed <= Seeds; seed++)
        {
            // The halo has grown by as much as a pass is high and takes 0.35 s for it; the fire lights with 12 and grows to 28.
            var (bench, onset) = Play(seed, new RestNoise(seed, PerSecond), 0.95, draw => With(Burn(draw, 28, 7), (t, burn) =>
                (13 * Math.Clamp((t + 0.9) / 0.35, 0, 1) * Math.Clamp((0.7 - t) / 0.5, 0, 1)) + (t < 0 ? 0 : t >= 1 ? burn(t) : Math.Min(1, t / 0.05) * (12 + (16 * Math.Min(1, t / 0.9))))));

            AssertFire(bench, onset, seed);
        }
    }

    [Theory]
    [InlineData(9, 1.1, 0.3)]
    [InlineData(8, 2, 0.3)]
    [InlineData(6, 0.7, 0.2)]
    [InlineData(6, 0.7, 0.3)]
    [InlineData(6, 0.7, 0.4)]
    [InlineData(6, 1, 0.3)]
    [InlineData(7, 1, 0.3)]
    public void Of_two_flashes_in_one_pass_the_first_is_the_flash_and_the_second_makes_no_flicker_of_it(double height, double share, double after)
    {
        for (var seed = 1; seed <= 2 * Seeds; seed++)
        {
            var (bench, onset) = Play(seed, new RestNoise(seed, PerSecond), 0.4, _ => t => Flash(t, height) + Flash(t - after, share * height));

            var judged = bench.Events.Select(one => one.Seen).OfType<WatchEvent.Judged>().Last();
            Assert.True(judged.Verdict.Flash, $"no flash, seed {seed}");
            Assert.True(Math.Abs(judged.Verdict.OnsetSeconds - onset) < 0.03, $"onset {judged.Verdict.OnsetSeconds - onset:0.00} s off, seed {seed}");
        }
    }
}
