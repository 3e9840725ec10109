using Acquire.Core.Control;
using Acquire.Core.Detection;
using Acquire.Core.Methods;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Control;

public sealed class RampStateTests
{
    private static readonly HeatingPlan Plan = new CupDraw(7, CupKind.Open, Knowledge.None).Plan;

    [Fact]
    public void A_state_that_was_kept_goes_on_bit_for_bit()
    {
        Gen.Int[1, 900].Sample(
            cut =>
            {
                var (straight, broken) = (new CupDraw(11, CupKind.Open, Knowledge.Poor), new CupDraw(11, CupKind.Open, Knowledge.Poor));
                var (one, other) = (RampController.Begin(straight.Model), RampController.Begin(broken.Model));
                for (var i = 1; i < 9200; i++)
                {
                    var before = one.Command;
                    straight.Plant.Step(before);
                    broken.Plant.Step(other.Command);
                    if (i % 5 == 0)
                    {
                        RampController.Take(one, straight.Plan, straight.Model, i * 0.1, straight.Read(), true);
                        RampController.Take(other, broken.Plan, broken.Model, i * 0.1, broken.Read(), true);
                    }

                    other = i == cut * 10 ? Kept.Again(other) : other;
                }

                Assert.Equal(Kept.Save(one), Kept.Save(other));
            },
            iter: 3);
    }

    [Fact]
    public void Every_member_of_the_controllers_state_is_kept()
    {
        Kept.EveryMember(typeof(RampState));
        Kept.EveryMember(typeof(LagCandidate));
        Kept.EveryMember(typeof(RateFilter));
    }

    [Fact]
    public void With_a_perfect_thermometer_the_common_cup_stays_within_a_tenth()
    {
        var cup = new CupPlant();
        cup.Start(23);
        var plan = HeatingPlan.For(MethodCatalog.All.Single(known => known.Id == "astm-d92-18"), 226);
        var state = RampController.Begin(HeaterModel.Unknown);
        var record = new RampEstimator();
        var (lowest, highest, since) = (double.MaxValue, double.MinValue, double.NaN);
        for (var i = 1; cup.ShownCelsius < 256; i++)
        {
            Assert.True(i < 100_000);
            cup.Step(state.Command);
            var seconds = i * CupPlant.StepSeconds;
            RampController.Take(state, plan, HeaterModel.Unknown, seconds, cup.ShownCelsius, true);
            since = double.IsNaN(since) && cup.ShownCelsius >= plan.ControlledFromCelsius ? seconds : since;
            if (record.Add(seconds, cup.ShownCelsius) && !double.IsNaN(since) && record.Fit(30, since) is { } line)
            {
                lowest = Math.Min(lowest, line.SlopePerSecond * 60);
                highest = Math.Max(highest, line.SlopePerSecond * 60);
            }
        }

        Assert.InRange(lowest, 5.4, 5.6);
        Assert.InRange(highest, 5.4, 5.6);
    }

    [Theory]
    [InlineData(5)]
    [InlineData(20)]
    public void After_the_heater_was_cut_for_a_while_the_rate_comes_back_without_running_over(int cutSeconds)
    {
        var cup = new CupDraw(21, CupKind.Closed, Knowledge.Good);
        var state = RampController.Begin(cup.Model);
        var (highest, last) = (0.0, 0.0);
        for (var i = 1; i < 14_000; i++)
        {
            var cut = i > 6000 && i < 6000 + (10 * cutSeconds);
            cup.Plant.Step(state.Command);
            if (i % 2 == 0)
            {
                var command = RampController.Take(state, cup.Plan, cup.Model, i * 0.1, cup.Read(), !cut);
                Assert.True(!cut || command == 0);
            }

            last = i > 6000 ? state.RateCelsiusPerMinute : last;
            highest = Math.Max(highest, last);
        }

        Assert.InRange(highest, 5.4, 6.2);
        Assert.InRange(last, 5.3, 5.7);
    }

    [Fact]
    public void Whatever_is_read_the_command_is_a_power_and_moves_within_its_slew()
    {
        var reading = Gen.Select(Gen.Double[0.01, 40], Gen.Double[-60, 600], Gen.Bool, Gen.Double[0.05, 1]);
        reading.Array[1, 120].Sample(
            readings =>
            {
                var model = HeaterModel.Unknown with { LargestFraction = readings[0].Item4 };
                var state = RampController.Begin(model);
                var (seconds, before) = (0.0, 0.0);
                foreach (var (step, celsius, allowed, _) in readings)
                {
                    seconds += step;
                    var command = RampController.Take(state, Plan, model, seconds, celsius, allowed);
                    Assert.InRange(command, 0, allowed ? model.LargestFraction : 0);
                    Assert.True(command - before <= (0.1 * Math.Ceiling(step)) + 1e-12);
                    before = command;
                }
            },
            iter: 300);
    }

    [Fact]
    public void A_reading_that_is_no_number_is_a_bug_of_the_caller_and_one_from_the_past_changes_nothing()
    {
        var state = RampController.Begin(HeaterModel.Unknown);
        RampController.Take(state, Plan, HeaterModel.Unknown, 10, 25, true);
        var before = Kept.Save(state);

        RampController.Take(state, Plan, HeaterModel.Unknown, 10, 400, true);
        RampController.Tick(state, Plan, HeaterModel.Unknown, 3, true);
        Assert.Equal(before, Kept.Save(state));

        Assert.Throws<ArgumentOutOfRangeException>(() => RampController.Take(state, Plan, HeaterModel.Unknown, 11, double.NaN, true));
        Assert.Throws<ArgumentOutOfRangeException>(() => RampController.Take(state, Plan, HeaterModel.Unknown, 11, 1e9, true));
        Assert.Throws<ArgumentOutOfRangeException>(() => RampController.Tick(state, Plan, HeaterModel.Unknown, double.PositiveInfinity, true));
        Assert.Throws<ArgumentOutOfRangeException>(() => RampController.Tick(state, Plan, HeaterModel.Unknown, 1e12, true));
    }

    [Fact]
    public void Before_the_first_reading_and_right_after_a_long_hole_there_is_no_power()
    {
        var cup = new CupDraw(5, CupKind.Open, Knowledge.Good);
        var state = RampController.Begin(cup.Model);
        for (var i = 0; i < 20; i++)
        {
            Assert.Equal(0, RampController.Tick(state, cup.Plan, cup.Model, i, true));
        }

        for (var i = 20; i < 80; i++)
        {
            RampController.Take(state, cup.Plan, cup.Model, i, 25, true);
        }

        Assert.InRange(state.Command, 0.01, 1);
        Assert.Equal(0, RampController.Tick(state, cup.Plan, cup.Model, 120, true));
    }
}
