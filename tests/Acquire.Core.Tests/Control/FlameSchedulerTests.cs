using Acquire.Core.Control;
using Acquire.Core.Tests.Traces;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Control;

public sealed class FlameSchedulerTests
{
    private static readonly FlameRules Rules = new(200, due => due + 2, 1, 0.3);

    [Fact]
    public void Each_pass_is_centred_on_its_temperature_whatever_the_ramp_the_noise_and_the_readings()
    {
        Gen.Select(Gen.Double[1, 15], Gen.Double[0.1, 0.5], Gen.Double[0.5, 3], Gen.Double[0, 1], Gen.Int[0, 1_000_000]).Sample(
            drawn =>
            {
                var (perMinute, step, pass, reaction, seed) = drawn;
                var rules = new FlameRules(200, due => due + 2, pass, reaction);
                var passes = Heat(rules, seconds => 195 + (seconds * perMinute / 60), 20 * 60 / perMinute, step, new Noise(seed));

                Assert.InRange(passes.Count, 7, 8);
                foreach (var (over, away) in passes)
                {
                    var middle = 195 + ((((over.AtSeconds + away.AtSeconds) / 2) + reaction) * perMinute / 60);
                    Assert.InRange(middle - over.DueCelsius, -0.25, 0.25);
                    Assert.InRange(away.AtSeconds - over.AtSeconds, pass - 1e-9, pass + step + 1e-9);
                }

                Assert.Equal(Enumerable.Range(0, passes.Count).Select(i => 200.0 + (2 * i)), passes.Select(made => made.Over.DueCelsius));
                Assert.Equal(Enumerable.Range(1, passes.Count), passes.Select(made => made.Over.Number));
            },
            iter: 60);
    }

    [Fact]
    public void A_driven_cup_gets_its_passes_in_place()
    {
        var cup = new CupDraw(31, CupKind.Open, Knowledge.Poor);
        var rules = new FlameRules(cup.ExpectedCelsius - 28, due => due + 2, 1);
        var (ramp, flame) = (RampController.Begin(cup.Model), FlameScheduler.Begin());
        var (fraction, overAt, errors) = (0.0, double.NaN, new List<double>());
        for (var i = 1; cup.Plant.ShownCelsius < cup.ExpectedCelsius + 3; i++)
        {
            cup.Plant.Step(fraction);
            var seconds = i * CupPlant.StepSeconds;
            if (i % cup.StepsPerReading == 0)
            {
                var celsius = cup.Read();
                fraction = RampController.Take(ramp, cup.Plan, cup.Model, seconds, celsius, true);
                overAt = FlameScheduler.Reading(flame, rules, seconds, celsius) is { Over: true } ? seconds : overAt;
            }

            if (seconds >= overAt + 0.5)
            {
                errors.Add(cup.Plant.ShownCelsius - (rules.FirstCelsius + (2 * errors.Count)));
                overAt = double.NaN;
            }
        }

        Assert.Equal(16, errors.Count);
        Assert.All(errors, error => Assert.InRange(error, -0.2, 0.2));
    }

    [Fact]
    public void The_interval_may_depend_on_the_temperature_and_the_plan_of_a_run_gives_first_and_interval()
    {
        var rules = new FlameRules(100, due => due + (due < 110 ? 1 : 2), 1);
        var passes = Heat(rules, seconds => 97 + (seconds * 5.5 / 60), 220, 0.2, new Noise(1));
        Assert.Equal([100, 101, 102, 103, 104, 105, 106, 107, 108, 109, 110, 112, 114, 116], passes.Select(made => made.Over.DueCelsius));

        var plan = new BenchTrace().Plan;
        var method = plan.Method.Applications;
        var planned = FlameRules.For(plan, 0.4);
        Assert.Equal(plan.ExpectedFlashCelsius - method!.FirstBelowExpectedCelsius, planned.FirstCelsius);
        Assert.Equal((152, method.PassSeconds, 0.4), (planned.NextDueCelsius(150), planned.PassSeconds, planned.ReactionSeconds));
        Assert.Equal(2, method.IntervalCelsius);
    }

    [Fact]
    public void While_the_specimen_burns_there_is_no_pass_and_those_overtaken_are_left_out()
    {
        var state = FlameScheduler.Begin();
        var over = Until(state, 0, command => command.Over);
        var away = FlameScheduler.Burning(state, over.AtSeconds + 0.2, true);
        Assert.Equal(new FlameCommand(over.AtSeconds + 0.2, false, 1, 200), away);
        Assert.Null(FlameScheduler.Burning(state, over.AtSeconds + 0.3, true));

        var seconds = over.AtSeconds + 0.3;
        for (; seconds < 100; seconds += 0.1)
        {
            Assert.Null(FlameScheduler.Reading(state, Rules, seconds, Celsius(seconds)));
        }

        FlameScheduler.Burning(state, seconds, false);
        var next = Until(state, seconds, command => command.Over);
        Assert.Equal(206, next.DueCelsius);
        Assert.Equal(2, next.Number);
        Assert.InRange(Celsius(next.AtSeconds + 0.8) - 206, -0.2, 0.2);
    }

    [Fact]
    public void After_a_stop_the_flame_goes_away_and_never_comes_again()
    {
        var state = FlameScheduler.Begin();
        var over = Until(state, 0, command => command.Over);

        Assert.Equal(false, FlameScheduler.Stop(state, over.AtSeconds + 0.1)?.Over);
        Assert.Null(FlameScheduler.Stop(state, over.AtSeconds + 0.2));
        for (var seconds = over.AtSeconds + 0.3; seconds < 300; seconds += 0.5)
        {
            Assert.Null(FlameScheduler.Reading(state, Rules, seconds, Celsius(seconds)));
        }
    }

    [Fact]
    public void A_silent_thermometer_holds_the_flame_back_but_one_that_is_over_goes_away_in_time()
    {
        var state = FlameScheduler.Begin();
        var over = Until(state, 0, command => command.Over);

        Assert.Equal(over.AtSeconds + 1.2, FlameScheduler.Tick(state, Rules, over.AtSeconds + 1.2)!.AtSeconds);
        for (var seconds = over.AtSeconds + 4; seconds < 300; seconds++)
        {
            Assert.Null(FlameScheduler.Tick(state, Rules, seconds));
        }
    }

    [Fact]
    public void A_schedule_that_was_kept_goes_on_and_rules_that_lead_nowhere_are_refused()
    {
        var (one, other) = (FlameScheduler.Begin(), FlameScheduler.Begin());
        for (var seconds = 0.1; seconds < 150; seconds += 0.1)
        {
            var celsius = Celsius(seconds);
            Assert.Equal(FlameScheduler.Reading(one, Rules, seconds, celsius), FlameScheduler.Reading(other, Rules, seconds, celsius));
            other = Kept.Again(other);
        }

        Assert.Equal(5, one.Made);
        Kept.EveryMember(typeof(FlameState));
        Assert.Throws<ArgumentOutOfRangeException>(() => Heat(new FlameRules(196, due => due, 1), Celsius, 60, 0.1, new Noise(1)));
        Assert.Throws<ArgumentOutOfRangeException>(() => FlameScheduler.Reading(one, Rules, 200, double.NaN));
    }

    private static double Celsius(double seconds) => 196 + (seconds * 5.5 / 60);

    private static FlameCommand Until(FlameState state, double from, Func<FlameCommand, bool> wanted)
    {
        for (var seconds = from + 0.1; seconds < from + 300; seconds += 0.1)
        {
            if (FlameScheduler.Reading(state, Rules, seconds, Celsius(seconds)) is { } command && wanted(command))
            {
                return command;
            }
        }

        throw new InvalidOperationException("The command never came.");
    }

    private static List<(FlameCommand Over, FlameCommand Away)> Heat(FlameRules rules, Func<double, double> celsius, double duration, double step, Noise noise)
    {
        var state = FlameScheduler.Begin();
        var made = new List<(FlameCommand, FlameCommand)>();
        FlameCommand? over = null;
        for (var seconds = step; seconds < duration; seconds += step)
        {
            var read = Math.Round((celsius(seconds) + (0.05 * noise.Normal())) * 10) / 10;
            var command = FlameScheduler.Reading(state, rules, seconds, read);
            if (command is { Over: false })
            {
                made.Add((over!, command));
            }

            over = command is { Over: true } ? command : over;
        }

        return made;
    }
}
