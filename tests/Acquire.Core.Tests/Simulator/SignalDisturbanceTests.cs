using Acquire.Core.Readings;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator;

/// <summary>What disturbances do to the detector: each is there when asked for, as strong as asked for, and touches nothing else.</summary>
public sealed class SignalDisturbanceTests
{
    private static readonly SimulatorOptions Run = (Specimens.BaseOil(5) with { FireCelsius = null, CoolingSeconds = 10 }).InSigma();
    private static readonly SimulatedRun Undisturbed = new(Run);
    private static readonly ReadingRow[] Plain = [.. Undisturbed];

    private static SimulatedRun With(params Disturbance[] disturbances) => new(Run with { Disturbances = disturbances });

    // What a disturbance added, reading by reading.
    private static double[] Added(params Disturbance[] disturbances)
    {
        var disturbed = With(disturbances).ToArray();
        Assert.Equal(Plain.Select(row => row with { Detector = 0 }), disturbed.Select(row => row with { Detector = 0 }));
        return [.. Plain.Zip(disturbed, (one, other) => other.Detector - one.Detector)];
    }

    private static double Deviation(double[] values) => Math.Sqrt(values.Sum(value => value * value) / values.Length);

    [Fact]
    public void Hum_has_its_amplitude_and_folds_down_at_the_reading_rate()
    {
        var hum = new SimulatedRun(Run with { Disturbances = [new(DisturbanceKind.Hum, 5)], HumHertz = 50.5 }).Zip(Plain, (one, other) => one.Detector - other.Detector).ToArray();

        Assert.Equal(5 / Math.Sqrt(2), Deviation(hum), 0.1);

        // 50.5 Hz read 50 times a second is a wave of 0.5 Hz: it comes back after 100 readings, and is turned round after 50.
        Assert.All(Enumerable.Range(0, 500), index => Assert.Equal(hum[index], hum[index + 100], 0.01));
        Assert.All(Enumerable.Range(0, 500), index => Assert.Equal(hum[index], -hum[index + 50], 0.01));
    }

    [Fact]
    public void Hum_is_there_only_while_it_is_asked_for()
    {
        var added = Added(new Disturbance(DisturbanceKind.Hum, 5, 100, 20));

        Assert.All(Enumerable.Range(0, Plain.Length).Where(index => Plain[index].AtSeconds is < 100 or >= 120), index => Assert.Equal(0, added[index], 1e-9));
        Assert.True(added.Skip(5000).Take(1000).Max() > 4.5);
    }

    [Fact]
    public void Spikes_are_single_wild_readings_as_many_as_asked_for()
    {
        var spikes = Added(new Disturbance(DisturbanceKind.Spikes, 0.5)).Where(value => value != 0).ToArray();

        var expected = 0.5 * Undisturbed.Truth.EndSeconds;
        Assert.InRange(spikes.Length, expected - (4 * Math.Sqrt(expected)), expected + (4 * Math.Sqrt(expected)));
        Assert.InRange(spikes.Count(value => value > 0) / (double)spikes.Length, 0.4, 0.6);
        Assert.True(spikes.Count(value => Math.Abs(value) is >= 9.9 and <= 40.1) >= spikes.Length - 5);
    }

    [Fact]
    public void Drift_wanders_as_fast_as_asked_for()
    {
        var drift = Added(new Disturbance(DisturbanceKind.Drift, 2));
        var perSecond = Enumerable.Range(0, (drift.Length / 50) - 1).Select(second => drift[(second + 1) * 50] - drift[second * 50]).ToArray();

        Assert.Equal(2, Deviation(perSecond), 0.3);
    }

    [Fact]
    public void A_saturated_converter_goes_no_higher()
    {
        var rows = With(new Disturbance(DisturbanceKind.Saturation, 12)).ToArray();

        Assert.Equal(12, rows.Max(row => row.Detector), 1e-3);
        Assert.Equal(Plain.Select(row => Math.Min(12, row.Detector)), rows.Select(row => row.Detector));
    }

    [Fact]
    public void A_draught_makes_the_flame_flicker_in_gusts()
    {
        var added = Added(new Disturbance(DisturbanceKind.Draught, 3, 100, 200));

        var within = added.Where((_, index) => Plain[index].AtSeconds is >= 100 and < 300).ToArray();
        Assert.InRange(Deviation([.. within.Where(value => Math.Abs(value) > 1e-3)]), 2, 4);
        Assert.Contains(within, value => value == 0);
        Assert.All(added.Where((_, index) => Plain[index].AtSeconds is < 99.9 or >= 300), value => Assert.Equal(0, value, 1e-9));
    }

    [Fact]
    public void A_weak_flash_is_as_high_as_asked_for_and_still_a_flash()
    {
        var run = With(new Disturbance(DisturbanceKind.WeakFlash, 8));
        var flash = run.Truth.Flash!;

        Assert.Equal(Undisturbed.Truth.Flash, flash);
        var usual = Specimens.PeakBetween(Plain, flash.TimeSeconds, flash.TimeSeconds + 0.15);
        var weak = Specimens.PeakBetween([.. run], flash.TimeSeconds, flash.TimeSeconds + 0.15);
        Assert.InRange(usual - weak, 40 - 8 - 12, 40 - 8 + 12);
    }

    [Fact]
    public void A_late_flash_comes_after_the_flame_has_left_and_belongs_to_its_pass()
    {
        var truth = With(new Disturbance(DisturbanceKind.LateFlash, 400)).Truth;

        var pass = truth.Applications[truth.Flash!.ApplicationNumber - 1];
        Assert.True(pass.Flashed);
        Assert.Equal(Undisturbed.Truth.Flash!.ApplicationNumber, pass.Number);
        Assert.InRange(truth.Flash.TimeSeconds - pass.TimeSeconds - pass.DurationSeconds, 0.34, 0.46);
    }

    [Fact]
    public void A_double_flash_adds_another_after_the_first()
    {
        var onset = Undisturbed.Truth.Flash!.TimeSeconds;
        var added = Added(new Disturbance(DisturbanceKind.DoubleFlash, 500));

        var second = Enumerable.Range(0, Plain.Length).Where(index => added[index] > 1).Select(index => Plain[index].AtSeconds).First();
        Assert.InRange(second, onset + 0.5, onset + 0.55);
        Assert.InRange(added.Max(), 15, 45);
    }

    [Fact]
    public void A_fast_halo_is_as_high_and_briefer()
    {
        var quiet = Run with { Scene = Run.Scene with { PassSigma = 0, HaloSigma = 200, FlashSigma = 1, FlashTailSeconds = 0 }, Seed = 8 };
        var usual = new SimulatedRun(quiet).ToArray();
        var fast = new SimulatedRun(quiet with { Disturbances = [new(DisturbanceKind.FastHalo)] }).ToArray();

        double Width(ReadingRow[] rows, SimulatedApplication made)
        {
            var near = rows.Where(row => Math.Abs(row.AtSeconds - made.TimeSeconds - 0.5) < 1.5).ToArray();
            var half = near.Max(row => row.Detector) / 2;
            return near.Count(row => row.Detector > half) / 50.0;
        }

        var halos = new SimulatedRun(quiet).Truth.Applications.Where(made => !made.Flashed && made.Halo > 0.4).ToArray();
        Assert.NotEmpty(halos);
        Assert.All(halos, made => Assert.InRange(Width(usual, made), 0.36, 0.86));
        Assert.All(halos, made => Assert.InRange(Width(fast, made), 0.12, 0.34));
        Assert.Equal(usual.Max(row => row.Detector), fast.Max(row => row.Detector), 12.0);
    }

    [Fact]
    public void Disturbances_are_combined_and_the_two_detectors_have_wires_of_their_own()
    {
        var run = new SimulatedRun(Run with { TwoDetectors = true, Disturbances = [new(DisturbanceKind.Spikes, 1), new(DisturbanceKind.Hum, 3), new(DisturbanceKind.Drift, 0.1), new(DisturbanceKind.Spikes, 0.1)] });

        Assert.Equal(run, run);
        var wild = run.Where(row => row.AtSeconds < 100).Select(row => (First: Math.Abs(row.Detector - 1200) > 36, Second: Math.Abs(row.SecondDetector - 350) > 14)).ToArray();
        Assert.InRange(wild.Count(row => row.First), 40, 180);
        Assert.InRange(wild.Count(row => row.Second), 40, 180);
        Assert.True(wild.Count(row => row is { First: true, Second: true }) < 10);
    }
}
