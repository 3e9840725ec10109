using Acquire.Core.Readings;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator;

/// <summary>What disturbances do to heater, oil, vapour, test flame and thermometer.</summary>
public sealed class CupDisturbanceTests
{
    private static readonly SimulatorOptions Run = (Specimens.BaseOil(5) with { FireCelsius = null, CoolingSeconds = 60, RowsPerSecond = 10 }).InSigma();
    private static readonly SimulatedRun Undisturbed = new(Run);

    private static SimulatedRun With(params Disturbance[] disturbances) => new(Run with { Disturbances = disturbances });

    private static SimulatedDisturbance Told(SimulatedRun run, DisturbanceKind kind) => Assert.Single(run.Truth.Disturbances!, told => told.Kind == kind);

    private static double HighestRate(SimulatedRun run, double fromBelow, double toBelow)
    {
        var rows = run.ToArray();
        var from = rows.First(row => row.TemperatureCelsius >= 226 - fromBelow).AtSeconds;
        var to = rows.First(row => row.TemperatureCelsius >= 226 - toBelow).AtSeconds;
        return Specimens.RatesBetween(rows, from, to).DefaultIfEmpty(Specimens.RatePerMinute([.. rows.Where(row => row.AtSeconds >= from && row.AtSeconds <= to)])).Max();
    }

    [Fact]
    public void An_overshooting_heater_heats_too_fast_before_the_flash_point()
    {
        Assert.InRange(HighestRate(Undisturbed, 24, 6), 5, 6);
        Assert.InRange(HighestRate(With(new Disturbance(DisturbanceKind.HeaterOvershoot)), 24, 6), 7, 10);
    }

    [Fact]
    public void A_stuck_relay_heats_on_until_somebody_pulls_the_plug()
    {
        var run = With(new Disturbance(DisturbanceKind.StuckRelay, 0.5));
        var stuck = Assert.Single(Told(run, DisturbanceKind.StuckRelay).TimesSeconds);

        Assert.Equal(206, run.ThermometerAt(stuck), 0.2);
        Assert.True(HighestRate(run, 10, 0) > 12);

        // The run is over, and the reading goes on rising.
        Assert.True(run.ThermometerAt(run.Truth.HeaterOffSeconds + 30) > run.ThermometerAt(run.Truth.HeaterOffSeconds) + 5);
    }

    [Fact]
    public void A_relay_that_is_stuck_for_a_time_lets_go()
    {
        var run = With(new Disturbance(DisturbanceKind.StuckRelay, 1, 100, 20));

        Assert.Equal(Undisturbed.ThermometerAt(100), run.ThermometerAt(100), 1e-9);
        Assert.True(run.ThermometerAt(200) > Undisturbed.ThermometerAt(200) + 3);
        Assert.True(run.Truth.Flash is not null);
    }

    [Fact]
    public void A_flame_that_is_out_lights_nothing()
    {
        var run = With(new Disturbance(DisturbanceKind.FlameOut));

        Assert.Null(run.Truth.Flash);
        Assert.All(run.Truth.Applications, made => Assert.False(made.Flashed));
    }

    [Fact]
    public void Foam_holds_vapour_back_and_shows_slow_bumps()
    {
        var run = With(new Disturbance(DisturbanceKind.Foam, 3));

        Assert.All(run.Truth.Applications.Zip(Undisturbed.Truth.Applications).Take(10), pair => Assert.InRange(pair.First.VapourRatio / pair.Second.VapourRatio, 0.81, 1.001));
        Assert.True(run.Truth.Flash!.TemperatureCelsius >= Undisturbed.Truth.Flash!.TemperatureCelsius - 0.5);
        var bumps = Told(run, DisturbanceKind.Foam);
        Assert.InRange(bumps.Count, 0.6 * run.Truth.EndSeconds * 0.85, 0.6 * run.Truth.EndSeconds * 1.15);
        Assert.Equal(200, bumps.TimesSeconds.Count);
    }

    [Fact]
    public void Water_pops_only_in_hot_oil_and_cools_it_each_time()
    {
        var run = With(new Disturbance(DisturbanceKind.WaterPopping));
        var pops = Told(run, DisturbanceKind.WaterPopping).TimesSeconds;

        Assert.InRange(pops.Count, 100, 200);
        Assert.True(run.ThermometerAt(pops[0]) > 90);

        // Each burst is there for 20 to 60 ms: at 50 readings a second most are met.
        var rows = new SimulatedRun(run.Options with { RowsPerSecond = 100 }).ToArray();
        Assert.All(pops.Take(50), at => Assert.True(Specimens.PeakBetween(rows, at, at + 0.02) > 4));
        Assert.Contains(Undisturbed.Truth.Applications.Zip(run.Truth.Applications), pair => Math.Abs(pair.First.TimeSeconds - pair.Second.TimeSeconds) > 0.5);
    }

    [Fact]
    public void A_specimen_that_ignites_by_itself_does_so_between_two_passes_and_ends_the_run()
    {
        var run = With(new Disturbance(DisturbanceKind.SelfIgnition, 6));
        var at = Assert.Single(Told(run, DisturbanceKind.SelfIgnition).TimesSeconds);

        Assert.All(run.Truth.Applications, made => Assert.False(at >= made.TimeSeconds && at <= made.TimeSeconds + made.DurationSeconds));
        Assert.Equal(2, run.Truth.Applications.Count(made => made.Flashed));
        Assert.Equal(at + 6, run.Truth.HeaterOffSeconds, 0.2);
        var rows = run.ToArray();
        Assert.True(rows.Where(row => row.AtSeconds > at + 0.5 && row.AtSeconds < at + 5.5).Average(row => row.Detector) > 40);
    }

    [Fact]
    public void A_broken_thermometer_sends_nothing_or_an_open_circuit()
    {
        Assert.All(With(new Disturbance(DisturbanceKind.SensorBreak, null, 500)), row => Assert.Equal(row.AtSeconds < 500, row.Has(RowChannels.Temperature)));

        var wired = new SimulatedRun(Run with { Thermometer = Run.Thermometer with { Chain = Signals.Chain("K in uV, measured") }, Disturbances = [new(DisturbanceKind.SensorBreak, null, 500, 50)] });
        Assert.All(wired.Where(row => row.AtSeconds is >= 500 and < 550), row => Assert.True(row.Signal > 15_000));
        Assert.All(wired.Where(row => row.AtSeconds is >= 550 and < 600), row => Assert.True(row.Signal < 15_000));
    }

    [Fact]
    public void A_draught_is_told_by_the_air_sensor_too()
    {
        var run = new SimulatedRun(Run with { Bench = new() { Channels = RowChannels.Air }, Disturbances = [new(DisturbanceKind.Draught, 1, 100, 50)] });

        Assert.All(run.Where(row => row.AtSeconds is >= 100 and < 150), row => Assert.True(row.AirMetresPerSecond > 0.3));
        Assert.All(run.Where(row => row.AtSeconds is < 100 or >= 150), row => Assert.True(row.AirMetresPerSecond < 0.1));
    }

    [Theory]
    [InlineData("heater-overshoot:1.5:300", "disturbances[0]: 'heater-overshoot' begins and ends by temperature; give no start and no length")]
    [InlineData("flame-out:2", "disturbances[0].strength: 'flame-out' has no strength; leave it empty")]
    [InlineData("clock-jump:0.01", "disturbances[0]: 'clock-jump' jumps by 0.01 s, which is less than 0.1")]
    public void What_cannot_be_is_refused(string text, string message)
    {
        Assert.True(Disturbance.TryParse(text, "--disturb", out var disturbance, out _));

        Assert.Equal(message, Assert.Single((Run with { Disturbances = [disturbance] }).Check()).ToString());
    }

    [Fact]
    public void What_needs_a_ramp_is_refused_with_fresh_portions()
    {
        var portions = new SimulatorOptions { Method = Specimens.Method("iso-3679-2022-b"), FlashCelsius = 62, Disturbances = [new(DisturbanceKind.StuckRelay), new(DisturbanceKind.WeakFlash)] };

        Assert.Equal("disturbances[0]", Assert.Single(portions.Check()).Path);
        var truth = new SimulatedRun(portions with { Disturbances = [new(DisturbanceKind.WeakFlash)] }).Truth;
        Assert.Equal(truth.Applications.Count(made => made.Flashed), Told(new SimulatedRun(portions with { Disturbances = [new(DisturbanceKind.WeakFlash)] }), DisturbanceKind.WeakFlash).Count);
    }
}
