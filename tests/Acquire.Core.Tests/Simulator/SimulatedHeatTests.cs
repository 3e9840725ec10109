using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator;

public sealed class SimulatedHeatTests
{
    public static TheoryData<ulong> TwentySeeds => new(Enumerable.Range(1, 20).Select(seed => (ulong)seed));

    [Theory]
    [MemberData(nameof(TwentySeeds))]
    public void The_last_28_degrees_are_heated_within_the_methods_band(ulong seed)
    {
        // ISO 2592 and ASTM D92: 5 to 6 °C/min; the latter over the last 28 °C before the expected flash point.
        var run = new SimulatedRun(Specimens.BaseOil(seed, seed % 2 == 0 ? "iso-2592-2017" : "astm-d92-18") with { FlashCelsius = 150 + (8 * seed), FireCelsius = 175 + (8 * seed) });
        var rows = run.ToArray();
        var from = rows.First(row => row.TemperatureCelsius >= run.Truth.ExpectedFlashCelsius - 28).AtSeconds;

        var rates = Specimens.RatesBetween(rows, from, run.Truth.Fire!.TimeSeconds);

        Assert.True(rates.Count > 50);
        Assert.All(rates, rate => Assert.InRange(rate, 5.0, 6.0));
    }

    [Fact]
    public void Fast_heating_stays_below_the_upper_end_of_its_band_and_the_ramp_is_eased_before_the_controlled_stretch()
    {
        var run = new SimulatedRun(Specimens.BaseOil(2) with { FlashCelsius = 252, FireCelsius = 280 });
        var rows = run.ToArray();
        var easing = rows.First(row => row.TemperatureCelsius >= run.Truth.ExpectedFlashCelsius - 76).AtSeconds;
        var eased = rows.First(row => row.TemperatureCelsius >= run.Truth.ExpectedFlashCelsius - 45).AtSeconds;

        var fast = Specimens.RatesBetween(rows, 180, easing);
        var between = Specimens.RatesBetween(rows, easing, eased);

        // Band of the first heating in ISO 2592:2017: 5 to 17 °C/min.
        Assert.All(fast, rate => Assert.InRange(rate, 14, 17));
        Assert.Contains(between, rate => rate is > 8 and < 12);
    }

    [Fact]
    public void A_rate_asked_for_is_held_instead()
    {
        var run = new SimulatedRun(Specimens.BaseOil() with { ControlledRateCelsiusPerMinute = 7.5 });
        var rows = run.ToArray();
        var from = rows.First(row => row.TemperatureCelsius >= run.Truth.ExpectedFlashCelsius - 28).AtSeconds;

        Assert.All(Specimens.RatesBetween(rows, from, run.Truth.Fire!.TimeSeconds), rate => Assert.InRange(rate, 7.1, 7.9));
    }

    [Fact]
    public void An_excursion_leaves_the_band_and_comes_back()
    {
        var run = new SimulatedRun(Specimens.BaseOil() with { Excursion = new(40, 15, 9) });
        var rows = run.ToArray();
        double At(double below) => rows.First(row => row.TemperatureCelsius >= run.Truth.ExpectedFlashCelsius - below).AtSeconds;

        Assert.Contains(Specimens.RatesBetween(rows, At(28), At(15)), rate => rate > 8);
        Assert.All(Specimens.RatesBetween(rows, At(2), run.Truth.Fire!.TimeSeconds), rate => Assert.InRange(rate, 5.0, 6.0));
    }

    [Fact]
    public void Plate_falls_and_thermometer_falls_after_one_peak_once_the_heater_is_off()
    {
        var run = new SimulatedRun(Specimens.BaseOil() with { CoolingSeconds = 1200, Thermometer = new() { NoiseCelsius = 0, StepCelsius = 0.001 } });
        var cooling = run.Where(row => row.AtSeconds >= run.Truth.HeaterOffSeconds).Select(row => row.TemperatureCelsius).ToArray();
        var peak = Array.IndexOf(cooling, cooling.Max());

        // The plate is some 27 °C hotter than the oil and goes on giving heat for about a minute.
        Assert.InRange(peak / 50.0, 10, 120);
        Assert.InRange(cooling[peak] - cooling[0], 0.2, 8);
        for (var index = peak + 1; index < cooling.Length; index++)
        {
            Assert.True(cooling[index] <= cooling[index - 1]);
        }

        Assert.True(cooling[^1] < cooling[peak] - 80);
    }

    [Fact]
    public void The_thermometer_settles_from_where_it_was_to_the_specimen_with_its_lag()
    {
        var options = Specimens.BaseOil() with { LeadInSeconds = 200, ThermometerStartCelsius = 245, AmbientCelsius = 25, StartCelsius = 25, Thermometer = new() { NoiseCelsius = 0, StepCelsius = 0.001, LagSeconds = 20 } };

        var rows = new SimulatedRun(options).TakeWhile(row => row.AtSeconds <= 60).ToArray();

        Assert.Equal(245, rows[0].TemperatureCelsius);
        // First-order lag: after one time constant 1/e of the step is left, after three e^-3.
        Assert.InRange(rows[1000].TemperatureCelsius, 25 + (220 * Math.Exp(-1)) - 0.5, 25 + (220 * Math.Exp(-1)) + 0.5);
        Assert.InRange(rows[3000].TemperatureCelsius, 25 + (220 * Math.Exp(-3)) - 0.5, 25 + (220 * Math.Exp(-3)) + 0.5);
    }
}
