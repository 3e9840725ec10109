using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator.Physics;

public sealed class HeatBalanceTests
{
    private static HeatFigures Figures(string kind) => kind switch
    {
        "open cup" => HeatFigures.OpenCup,
        "closed cup" => HeatFigures.ClosedCup,
        "bath" => HeatFigures.Bath,
        _ => HeatFigures.Block,
    };

    private static HeatModel Cup(HeatFigures figures, double celsius = 23, double lagSeconds = 15) => new(celsius, celsius, 23, lagSeconds, figures);

    private static void Run(HeatModel cup, double seconds, double watts, double surfaceWatts = 0)
    {
        for (var step = 0; step < seconds / HeatModel.StepSeconds; step++)
        {
            cup.Step(watts, surfaceWatts);
        }
    }

    [Theory]
    [InlineData("open cup")]
    [InlineData("closed cup")]
    [InlineData("bath")]
    [InlineData("block")]
    public void Heat_in_is_heat_stored_and_heat_lost(string kind)
    {
        var figures = Figures(kind);
        var cup = Cup(figures);
        double given = 0, stored = 0, lost = 0;
        for (var step = 0; step < 40_000; step++)
        {
            var (flows, capacity, body, metal, oil) = (cup.Flows, cup.OilCapacity, cup.BodyCelsius, cup.CupCelsius, cup.OilCelsius);
            cup.Step(commandWatts: step < 20_000 ? 180 : 0, surfaceWatts: -2);

            given += (flows.HeaterWatts - 2) * HeatModel.StepSeconds;
            lost += flows.LossWatts * HeatModel.StepSeconds;
            stored += (figures.BodyCapacity * (cup.BodyCelsius - body)) + (figures.CupCapacity * (cup.CupCelsius - metal)) + (capacity * (cup.OilCelsius - oil));
        }

        Assert.True(given > 100_000);
        Assert.InRange(stored + lost - given, -1e-6 * given, 1e-6 * given);
    }

    [Fact]
    public void A_cup_that_has_settled_loses_what_the_heater_gives()
    {
        var cup = Cup(HeatFigures.OpenCup, 200);

        Run(cup, 20_000, 90);

        Assert.Equal(90, cup.Flows.LossWatts, 0.01);
        Assert.Equal(cup.OilCelsius, cup.ThermometerCelsius, 1e-3);
    }

    // Time constants at 200 °C, computed beforehand from the same figures by hand: loss 774 s, cup to oil 65 to 76 s.
    [Fact]
    public void The_cup_has_its_slow_and_its_middle_time_constant()
    {
        var (steady, warmed) = (Cup(HeatFigures.OpenCup, 200), Cup(HeatFigures.OpenCup, 200));
        Run(steady, 10_000, 83);
        Run(warmed, 10_000, 83);
        Assert.InRange(steady.OilCelsius, 190, 210);

        // A little heat into the oil: first it spreads into cup and plate, then all of it goes to the room.
        Run(steady, 10, 83);
        Run(warmed, 10, 83, surfaceWatts: 10);
        double Gap() => (warmed.OilCelsius - warmed.CupCelsius) - (steady.OilCelsius - steady.CupCelsius);
        double Excess() => warmed.OilCelsius - steady.OilCelsius;
        void Both(double seconds)
        {
            Run(steady, seconds, 83);
            Run(warmed, seconds, 83);
        }

        Both(60);
        var gap = Gap();
        Both(60);
        Assert.InRange(60 / Math.Log(gap / Gap()), 55, 85);
        Both(600);
        var excess = Excess();
        Both(400);
        Assert.InRange(400 / Math.Log(excess / Excess()), 0.9 * 774, 1.1 * 774);
    }

    [Theory]
    [InlineData(7)]
    [InlineData(15)]
    [InlineData(30)]
    public void On_a_ramp_the_thermometer_is_behind_by_rate_times_lag(double lagSeconds)
    {
        var cup = Cup(HeatFigures.OpenCup, 60, lagSeconds);
        Run(cup, 600, 150);
        var (from, read) = (cup.OilCelsius, cup.ThermometerCelsius);

        Run(cup, 1, 150);

        var rate = cup.OilCelsius - from;
        Assert.InRange(rate * 60, 3, 12);
        Assert.InRange((from - read) / (rate * lagSeconds), 0.97, 1.05);
    }

    [Fact]
    public void The_heater_answers_after_its_dead_time_with_its_lag()
    {
        var cup = Cup(HeatFigures.OpenCup);

        Run(cup, Apparatus.HeaterDeadSeconds, 100);
        Assert.Equal(0, cup.HeaterWatts);
        Run(cup, Apparatus.HeaterLagSeconds, 100);
        Assert.InRange(cup.HeaterWatts, 100 * (1 - Math.Exp(-1)) - 2, 100 * (1 - Math.Exp(-1)) + 2);
    }

    [Fact]
    public void A_stirrer_brings_oil_and_cup_together_and_a_lid_keeps_heat_in()
    {
        var (still, stirred) = (Cup(HeatFigures.ClosedCup), Cup(HeatFigures.ClosedCup));
        stirred.CupToOil = HeatFigures.ClosedCup.Conductance(stirred: true);
        Run(still, 900, 120);
        Run(stirred, 900, 120);

        Assert.InRange((still.CupCelsius - still.OilCelsius) / (stirred.CupCelsius - stirred.OilCelsius), 1.4, 1.7);
        Assert.Equal(0.4, Cup(HeatFigures.ClosedCup, 200).Flows.OilLossWatts / Cup(HeatFigures.OpenCup, 200).Flows.OilLossWatts, 1e-9);
    }

    [Fact]
    public void A_drifting_thermometer_is_wrong_by_its_rate_times_the_time()
    {
        var options = Specimens.BaseOil() with { RowsPerSecond = 10, Thermometer = new() { NoiseCelsius = 0, StepCelsius = 0.001 } };

        var steady = new SimulatedRun(options).ToArray();
        var drifting = new SimulatedRun(options with { Thermometer = options.Thermometer with { DriftCelsiusPerHour = 2 } }).ToArray();

        Assert.Equal(steady.Length, drifting.Length);
        Assert.All(steady.Zip(drifting), pair => Assert.Equal(2 * pair.First.AtSeconds / 3600, pair.Second.TemperatureCelsius - pair.First.TemperatureCelsius, 0.0011));
        Assert.Contains((options with { Thermometer = new() { DriftCelsiusPerHour = 11 } }).Check(), error => error is { Path: "thermometer.driftCelsiusPerHour", Message: "11 is not within -10 to 10" });
    }
}
