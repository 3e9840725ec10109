using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator;

public sealed class SimulatedIgnitionTests
{
    public static TheoryData<ulong> TwentySeeds => SimulatedHeatTests.TwentySeeds;

    [Theory]
    [MemberData(nameof(TwentySeeds))]
    public void The_first_flash_comes_at_the_application_that_first_reaches_the_flash_point(ulong seed)
    {
        var options = Specimens.BaseOil(seed) with { FlashCelsius = 220 + (0.37 * seed), FireCelsius = 250 };
        var interval = options.Method.Applications!.IntervalCelsius;

        var truth = new SimulatedRun(options).Truth;

        var first = truth.Applications.First(application => application.Flashed);
        Assert.InRange(first.TemperatureCelsius - options.FlashCelsius, -0.5, interval + 0.5);
        Assert.Equal(first.Number, truth.Flash!.ApplicationNumber);
        Assert.InRange(truth.Flash.TimeSeconds, first.TimeSeconds, first.TimeSeconds + first.DurationSeconds);
        Assert.InRange(truth.Fire!.TemperatureCelsius - 250, -0.5, interval + 0.5);
    }

    [Fact]
    public void Applications_follow_the_schedule_and_change_direction()
    {
        var options = Specimens.BaseOil(4);

        var made = new SimulatedRun(options).Truth.Applications;

        for (var index = 0; index < made.Count; index++)
        {
            // ISO 2592: first (23 ± 5) °C below the expected flash point, then every 2 °C.
            Assert.InRange(made[index].TemperatureCelsius - (226 - 23 + (2 * index)), -0.15, 0.15);
            Assert.Equal(index % 2 == 0, made[index].FromLeft);
            Assert.InRange(made[index].DurationSeconds, 0.88, 1.12);
        }
    }

    [Fact]
    public void Every_application_after_the_first_flash_flashes_until_the_cup_burns()
    {
        var options = Specimens.BaseOil(6).InSigma();
        var run = new SimulatedRun(options);
        var rows = run.ToArray();
        var later = run.Truth.Applications.Where(application => application.Number >= run.Truth.Flash!.ApplicationNumber).ToArray();

        Assert.True(later.Length > 10);
        Assert.All(later, application => Assert.True(application.Flashed));
        Assert.All(later, application =>
            Assert.True(Specimens.PeakBetween(rows, application.TimeSeconds, application.TimeSeconds + application.DurationSeconds) > 0.8 * options.Scene.FlashSigma));
        Assert.All(later.SkipLast(1), application => Assert.Equal(0, application.BurnedSeconds));
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void Halos_grow_towards_the_flash_point_and_are_not_there_before(ulong seed)
    {
        var options = Specimens.BaseOil(seed).InSigma();
        var run = new SimulatedRun(options);
        var rows = run.ToArray();
        var before = run.Truth.Applications.TakeWhile(application => !application.Flashed).ToArray();

        var plain = before.Where(application => application.VapourRatio < 0.85).ToArray();
        var haloed = before.Where(application => application.VapourRatio >= 0.85).ToArray();

        Assert.True(plain.Length >= 8 && haloed.Length >= 1);
        Assert.All(plain, application => Assert.Equal(0, application.Halo));
        // 8 sigma of pass with 10 % scatter (cut at three deviations), and the highest of some 60 noisy readings.
        Assert.All(plain, application => Assert.InRange(Specimens.PeakBetween(rows, application.TimeSeconds - 0.5, application.TimeSeconds + 1.5), 5, 8 * 1.3 + 4));
        Assert.Equal(haloed.Select(application => application.Halo).Order(), haloed.Select(application => application.Halo));
        Assert.All(haloed, application => Assert.True(Specimens.PeakBetween(rows, application.TimeSeconds - 0.5, application.TimeSeconds + 1.5) > 5 + (0.5 * options.Scene.HaloSigma * application.Halo)));
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(4)]
    public void At_the_fire_point_the_cup_burns_for_more_than_the_methods_seconds_and_then_the_cover_goes_on(ulong seed)
    {
        var options = Specimens.BaseOil(seed).InSigma();
        var run = new SimulatedRun(options);
        var rows = run.ToArray();
        var truth = run.Truth;
        var burned = truth.Applications[^1].BurnedSeconds;

        // ISO 2592 and ASTM D92: the fire point is where the specimen burns for at least 5 s.
        Assert.InRange(burned, 7, 10);
        Assert.Equal(truth.Fire!.TimeSeconds + burned, truth.HeaterOffSeconds, 0.06);
        Assert.All(
            rows.Where(row => row.AtSeconds > truth.Fire.TimeSeconds + 0.3 && row.AtSeconds < truth.HeaterOffSeconds - 0.1),
            row => Assert.True(row.Detector > 0.2 * options.Scene.BurnSigma));
        Assert.All(rows.Where(row => row.AtSeconds > truth.HeaterOffSeconds + 0.5), row => Assert.InRange(row.Detector, -6, 6));
        Assert.Equal(truth.HeaterOffSeconds + run.Options.CoolingSeconds, truth.EndSeconds, 0.06);
    }

    [Fact]
    public void Short_burns_are_shorter_than_a_fire_and_come_only_near_it()
    {
        var truth = new SimulatedRun(Specimens.BaseOil(9) with { ShortBurns = true }).Truth;

        var brief = truth.Applications.SkipLast(1).Where(application => application.BurnedSeconds > 0).ToArray();

        Assert.NotEmpty(brief);
        Assert.All(brief, application => Assert.InRange(application.BurnedSeconds, 0.2, 4.3));
        Assert.All(brief, application => Assert.InRange(application.TemperatureCelsius, 240, 252.5));
    }

    [Fact]
    public void Without_a_fire_point_the_tester_stops_three_applications_after_the_flash()
    {
        var truth = new SimulatedRun(Specimens.BaseOil(2) with { FireCelsius = null }).Truth;

        Assert.Null(truth.Fire);
        Assert.Equal(truth.Flash!.ApplicationNumber + 3, truth.Applications.Count);
        Assert.Null(truth.FireAtStationCelsius);
    }

    [Fact]
    public void A_flash_point_far_below_the_expected_one_flashes_at_the_first_application()
    {
        var truth = new SimulatedRun(Specimens.BaseOil(2) with { FlashCelsius = 196, FireCelsius = 230, ExpectedFlashCelsius = 226 }).Truth;

        Assert.Equal(1, truth.Flash!.ApplicationNumber);
    }
}
