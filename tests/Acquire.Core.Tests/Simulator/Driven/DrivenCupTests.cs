using Acquire.Core.Readings;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator.Driven;

/// <summary>The driven cup against textbook solutions of lumped capacities.</summary>
public sealed class DrivenCupTests
{
    private static readonly Obedience Half = new(7, 0.5, false, true);

    /// <summary>First law for lumped capacities (Incropera et al., Fundamentals of Heat and Mass Transfer, ch. 1: energy stored = energy in − energy out).</summary>
    [Fact]
    public void Without_losses_all_the_heat_that_was_given_is_stored()
    {
        var options = DrivenSpecimens.WithoutLoss();
        var cup = new DrivenCup(options);
        var plant = options.Plant;

        cup.Run(600, Half);

        // The element gives what it is told behind a dead time and a lag: by then the lag holds back its own length of power.
        var given = 0.5 * plant.MaxWatts * (600 - plant.DeadTimeSeconds - plant.HeaterLagSeconds);
        Assert.Equal(given, Stored(cup, 25), given * 0.002);
    }

    /// <summary>With a constant power and no loss every node of a chain of lumped capacities ends up rising at P / ΣC, each ahead of the next by what flows on over the conductance between them.</summary>
    [Fact]
    public void Under_constant_power_all_rise_at_power_over_heat_capacity_and_keep_their_distances()
    {
        var options = DrivenSpecimens.WithoutLoss();
        var cup = new DrivenCup(options);
        cup.Run(550, Half);
        var before = (Body: cup.BodyCelsius, Oil: cup.SpecimenCelsius);

        cup.Run(10, Half);

        var rate = (cup.SpecimenCelsius - before.Oil) / 10;
        var oil = OilCapacity((cup.SpecimenCelsius + before.Oil) / 2);

        // The oil's heat capacity grows by 5 % in a minute here, so nothing is ever quite settled.
        Assert.Equal(0.5 * 700 / (270 + 135 + oil), rate, rate * 0.06);
        Assert.Equal(rate, (cup.BodyCelsius - before.Body) / 10, rate * 0.08);
        Assert.Equal(oil * rate / 1.6, cup.CupCelsius - cup.SpecimenCelsius, oil * rate / 1.6 * 0.04);
        Assert.Equal((oil + 135) * rate / 8, cup.BodyCelsius - cup.CupCelsius, (oil + 135) * rate / 8 * 0.04);
    }

    /// <summary>Step response of a first-order lag behind a dead time, 1 − exp(−(t − L)/T) (any textbook of process control, such as Seborg et al., Process Dynamics and Control, ch. 5 and 6).</summary>
    [Theory]
    [InlineData(3.9, 0)]
    [InlineData(9, 0.63212)]
    [InlineData(14, 0.86466)]
    [InlineData(19, 0.95021)]
    public void The_heater_answers_a_step_behind_its_dead_time_as_a_first_order_lag(double seconds, double share)
    {
        var cup = new DrivenCup(DrivenSpecimens.Of("iso-2592-2017", 220));

        cup.Run(seconds, Half);

        // Dead time 4 s, lag 5 s, 700 W.
        Assert.Equal(share, cup.HeaterWatts / 350, 0.002);
    }

    /// <summary>The thermometer taken out of a hot cup: exp(−t/T) towards the room.</summary>
    [Fact]
    public void A_thermometer_beside_the_cup_falls_to_the_room_as_a_first_order_lag()
    {
        var cup = new DrivenCup(DrivenSpecimens.Of("iso-2592-2017", 220));
        cup.Run(400, Half);
        var hot = cup.ThermometerCelsius - 23;

        for (var step = 0; step < 1500; step++)
        {
            cup.Step(Half, thermometerIsOut: true);
        }

        // Lag 15 s, room 23 °C: after one lag a share of 1/e is left.
        Assert.Equal(hot / Math.E, cup.ThermometerCelsius - 23, hot * 0.001);
        Assert.True(cup.SpecimenCelsius > 23 + hot);
    }

    [Theory]
    [InlineData("iso-2592-2017", 220)]
    [InlineData("iso-2719-2016-a", 120)]
    [InlineData("astm-d56-22", 55)]
    public void Settled_on_a_ramp_the_heater_gives_what_the_figures_of_the_plant_foretell(string method, double flash)
    {
        var options = DrivenSpecimens.Of(method, flash);
        options = options with { Run = options.Run with { StartCelsius = 20 } };
        var cup = new DrivenCup(options);
        var does = new Obedience(1, 0.25, false, true);
        cup.Run(options.Plant.Kind == DrivenPlantKind.Bath ? 900 : 500, does);
        var before = cup.SpecimenCelsius;

        cup.Run(20, does);

        var middle = (before + cup.SpecimenCelsius) / 2;
        Assert.Equal(0.25 * 700, options.Plant.NeededWatts(middle, (cup.SpecimenCelsius - before) * 3, options.Run.AmbientCelsius), 0.25 * 700 * 0.06);
    }

    [Fact]
    public void Four_times_the_metal_warms_far_more_slowly()
    {
        var usual = DrivenSpecimens.Of("iso-2592-2017", 220);
        var light = new DrivenCup(usual with { Plant = usual.Plant with { ThermalMass = 0.5 } });
        var heavy = new DrivenCup(usual with { Plant = usual.Plant with { ThermalMass = 2 } });

        light.Run(120, Half);
        heavy.Run(120, Half);

        Assert.True(light.SpecimenCelsius - 25 > 1.8 * (heavy.SpecimenCelsius - 25), $"{light.SpecimenCelsius} and {heavy.SpecimenCelsius}");
    }

    [Fact]
    public void Equal_commands_at_equal_times_give_equal_rows_and_another_seed_gives_others()
    {
        var options = DrivenSpecimens.Of("iso-2592-2017", 220);
        var rows = new DrivenCup(options).Run(30, Half);

        Assert.Equal(rows, new DrivenCup(options).Run(30, Half));
        Assert.NotEqual(rows, new DrivenCup(options with { Run = options.Run with { Seed = 2 } }).Run(30, Half));
        Assert.Equal(1500, rows.Count);
        Assert.Equal(29.98, rows[^1].AtSeconds);
        Assert.All(rows, row => Assert.Equal((7, 0.5, RowChannels.Temperature | RowChannels.Detector | RowChannels.Flame | RowChannels.Command | RowChannels.Heater), (row.Command, row.HeaterFraction, row.Present)));
    }

    [Fact]
    public void A_tester_that_obeys_no_command_leaves_its_channel_out()
    {
        var row = new DrivenCup(DrivenSpecimens.Of("iso-2592-2017", 220)).Run(0.02, Obedience.None)[0];

        Assert.False(row.Has(RowChannels.Command));
        Assert.Equal(0, row.HeaterFraction);
    }

    [Fact]
    public void The_flame_is_over_the_cup_a_reaction_later_and_for_as_long_as_it_is_told()
    {
        var cup = new DrivenCup(DrivenSpecimens.Of("iso-2592-2017", 220));
        cup.Run(10, Obedience.None);

        var rows = cup.Run(1, Obedience.None with { FlameOver = true });
        rows.AddRange(cup.Run(2, Obedience.None));

        var over = rows.FindAll(row => row.FlameOver);
        // Told for 1 s; 0.2 s of reaction with a scatter of 10 %.
        Assert.InRange(over[0].AtSeconds, 10.12, 10.30);
        Assert.InRange(over[^1].AtSeconds - over[0].AtSeconds, 0.85, 1.15);
        var made = Assert.Single(cup.Truth().Applications);
        Assert.False(made.Flashed);
        Assert.InRange(made.DurationSeconds, 0.85, 1.15);
    }

    [Fact]
    public void A_hot_specimen_flashes_only_while_the_flame_is_over_it()
    {
        var options = DrivenSpecimens.Of("iso-2592-2017", 100);
        var cup = new DrivenCup(options with { Run = options.Run with { FireCelsius = null } });
        while (cup.ThermometerCelsius < 106)
        {
            cup.Step(Half);
        }

        var idle = cup.Run(20, Obedience.None);
        Assert.Null(cup.Truth().Flash);

        var lit = cup.Run(1, Obedience.None with { FlameOver = true });
        lit.AddRange(cup.Run(1, Obedience.None));

        Assert.NotNull(cup.Truth().Flash);
        // 40 sigma of flash and 4 units a sigma.
        Assert.True(lit.Max(row => row.Detector) - idle.Average(row => row.Detector) > 120);
    }

    [Fact]
    public void A_specimen_above_its_fire_point_burns_and_is_covered_after_the_methods_time()
    {
        var cup = new DrivenCup(DrivenSpecimens.Of("iso-2592-2017", 100));
        while (cup.ThermometerCelsius < 130)
        {
            cup.Step(Half);
        }

        cup.Run(1, Obedience.None with { FlameOver = true });
        Assert.True(cup.Burns);
        cup.Run(15, Obedience.None);

        Assert.False(cup.Burns);
        // Sustained 5 s, and 2 to 5 s until the cover is on.
        Assert.InRange(Assert.Single(cup.Truth().Applications).BurnedSeconds, 7, 10);
        Assert.NotNull(cup.Truth().Fire);
    }

    [Fact]
    public void Options_out_of_range_are_named()
    {
        var options = DrivenSpecimens.Of("iso-2592-2017", 220) with { ReactionSeconds = 3, Faults = [new(TesterFaultKind.ObeysLate, 0, 100)] };
        options = options with { Plant = options.Plant with { ThermalMass = 9 }, Run = options.Run with { RowsPerSecond = 60, HasFlameSignal = false } };

        Assert.Equal(["plant.thermalMass", "reactionSeconds", "run", "rowsPerSecond", "faults[0].value"], options.Check().Select(error => error.Path));
        Assert.Throws<ArgumentException>(() => new DrivenCup(options));
    }

    private static double OilCapacity(double celsius) => 0.070 * 880 * (1.8 + (0.0037 * (celsius - 15)));

    // Heat above a temperature that all had; the oil's capacity grows evenly, so its middle counts.
    private static double Stored(DrivenCup cup, double from) =>
        (270 * (cup.BodyCelsius - from)) + (135 * (cup.CupCelsius - from)) + (OilCapacity((cup.SpecimenCelsius + from) / 2) * (cup.SpecimenCelsius - from));
}
