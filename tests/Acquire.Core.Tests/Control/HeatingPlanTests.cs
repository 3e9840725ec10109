using Acquire.Core.Control;
using Acquire.Core.Methods;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Control;

public sealed class HeatingPlanTests
{
    private static MethodDefinition Method(string id) => MethodCatalog.TryFind(id, out var method) ? method : throw new InvalidOperationException(id);

    [Fact]
    public void A_method_with_a_wide_start_band_starts_at_15_and_eases_early()
    {
        // ASTM D92-18 as in the catalogue: 5 to 17 °C/min, 5 to 6 over the last 28 °C.
        var plan = HeatingPlan.For(Method("astm-d92-18"), 230);

        Assert.Collection(
            plan.Segments,
            start => Assert.Equal((HeatingPart.Start, 154.0, 15.0, 17.0), (start.Part, start.ToCelsius, start.TargetCelsiusPerMinute, start.Band!.To)),
            easing => Assert.Equal((HeatingPart.Easing, 154.0, 202.0, 5.5, (RateBand?)null), (easing.Part, easing.FromCelsius, easing.ToCelsius, easing.TargetCelsiusPerMinute, easing.Band)),
            controlled => Assert.Equal((HeatingPart.Controlled, 202.0, 5.5), (controlled.Part, controlled.FromCelsius, controlled.TargetCelsiusPerMinute)));
        Assert.Equal(202, plan.ControlledFromCelsius);
        Assert.Equal(5.5, plan.SlowestCelsiusPerMinute);
    }

    [Fact]
    public void A_narrow_start_band_is_kept_down_to_where_the_method_eases()
    {
        var method = Method("astm-d92-18");
        var plan = HeatingPlan.For(method with { Ramp = method.Ramp! with { FastHeatingCelsiusPerMinute = new(14, 17) } }, 230);

        Assert.Equal((230 - 56, 15.5), (plan.Segments[0].ToCelsius, plan.TargetAt(173.9)));
    }

    [Fact]
    public void The_target_falls_smoothly_and_has_arrived_well_before_the_controlled_band()
    {
        var plan = HeatingPlan.For(Method("iso-2592-2017"), 230);
        for (var celsius = 20.0; celsius < 300; celsius += 0.1)
        {
            var step = plan.TargetAt(celsius + 0.1) - plan.TargetAt(celsius);
            Assert.InRange(step, -0.07, 0);
        }

        Assert.Equal(15, plan.TargetAt(20));
        Assert.Equal(5.5, plan.TargetAt(plan.ControlledFromCelsius - 24), 9);
        Assert.Equal(5.5, plan.TargetAt(290));
    }

    [Fact]
    public void A_method_without_start_heating_has_no_easing()
    {
        var method = Method("astm-d92-18");
        var constant = method with
        {
            Ramp = method.Ramp! with { FastHeatingCelsiusPerMinute = new(1, 1.6), ControlledHeatingCelsiusPerMinute = new(1, 1.6), EaseBelowExpectedCelsius = 0, ControlledFromBelowExpectedCelsius = 0 },
        };
        var oneRate = method with { Ramp = new() { StartAtLeastBelowExpectedCelsius = 18, ControlledHeatingCelsiusPerMinute = new(1, 1.6) } };

        Gen.Double[-50, 400].Sample(celsius => Assert.Equal(1.3, HeatingPlan.For(constant, 100).TargetAt(celsius), 9));
        Gen.Double[-50, 400].Sample(celsius => Assert.Equal(1.3, HeatingPlan.For(oneRate, 100).TargetAt(celsius), 9));
        Assert.Equal(HeatingPart.Controlled, Assert.Single(HeatingPlan.For(oneRate, 100).Segments).Part);
        Assert.Equal(double.NegativeInfinity, HeatingPlan.For(oneRate, 100).ControlledFromCelsius);
    }

    [Fact]
    public void Segments_follow_each_other_without_holes()
    {
        Gen.Select(Gen.Double[-30, 400], Gen.Double[0, 200], Gen.Double[0, 200]).Sample(drawn =>
        {
            var (expected, a, b) = drawn;
            var method = Method("astm-d92-18");
            var plan = HeatingPlan.For(method with { Ramp = method.Ramp! with { EaseBelowExpectedCelsius = Math.Max(a, b), ControlledFromBelowExpectedCelsius = Math.Min(a, b) } }, expected);
            Assert.Equal(double.NegativeInfinity, plan.Segments[0].FromCelsius);
            Assert.Equal(double.PositiveInfinity, plan.Segments[^1].ToCelsius);
            foreach (var (before, after) in plan.Segments.Zip(plan.Segments.Skip(1)))
            {
                Assert.Equal(before.ToCelsius, after.FromCelsius);
            }
        });
        Assert.Throws<ArgumentOutOfRangeException>(() => HeatingPlan.For(Method("astm-d92-18"), double.NaN));
    }

    [Fact]
    public void A_heater_model_out_of_range_is_refused_with_the_field_and_its_range()
    {
        Assert.Empty(HeaterModel.Unknown.Check("heater"));
        var errors = new HeaterModel { MaxPowerWatts = 5, ThermalCapacityJoulesPerKelvin = double.NaN, LossWattsPerKelvin = 90, DeadTimeSeconds = -1, LagSeconds = 61, AmbientCelsius = 60, LargestFraction = 0 }.Check("testers[1].heater");

        Assert.Equal(7, errors.Count);
        Assert.Contains(errors, error => error.ToString() == "testers[1].heater.maxPowerWatts: 5 is not within 10 to 10000 W");
        Assert.Contains(errors, error => error.Path == "testers[1].heater.largestFraction");
    }
}
