using Acquire.Core.Methods;
using Acquire.Core.Runs;
using Xunit;

namespace Acquire.Core.Tests.Methods;

/// <summary>The figures of the closed cups and the Tag open cup, once more beside their sources.</summary>
public sealed class PublishedFigureTests
{
    private static MethodDefinition Method(string id) =>
        MethodCatalog.TryFind(id, out var method) ? method : throw new ArgumentException(id, nameof(id));

    private static RunRules Rules(string id, double expected) => new(Method(id), expected);

    [Theory]
    // ISO 2719 and ASTM D93. A: 5 to 6 °C/min. B: 1.0 to 1.6 °C/min, (250 ± 10) r/min (D93, 12.1). C: (3.0 ± 0.5) °C/min and the stirring of A and C: value from memory.
    [InlineData("a", 5, 6, 90, 120)]
    [InlineData("b", 1.0, 1.6, 240, 260)]
    [InlineData("c", 2.5, 3.5, 90, 120)]
    public void Pensky_Martens_heats_at_one_rate_and_stirs(string procedure, double from, double to, double slow, double fast)
    {
        foreach (var method in new[] { Method("iso-2719-2016-" + procedure), Method("astm-d93-20-" + procedure) })
        {
            Assert.True(method.Ramp!.IsConstant);
            Assert.Equal(new RateBand(from, to), method.Ramp.ControlledHeatingCelsiusPerMinute);
            // ASTM D93, 12.1.1: cup and specimen at least 18 °C below.
            Assert.Equal(18, method.Ramp.StartAtLeastBelowExpectedCelsius);
            Assert.Equal(new StirringRules(new(slow, fast), true) { OutsideSeconds = 10 }, method.Stirring);
            // ISO 2719, clause 12: nearest 0.5 °C.
            Assert.Equal(new RoundingRule(0.5, TieRule.HalfToEven), method.Rounding);
        }
    }

    [Fact]
    public void Pensky_Martens_applies_every_degree_up_to_110_and_every_second_above()
    {
        foreach (var id in new[] { "iso-2719-2016-a", "iso-2719-2016-b", "astm-d93-20-a", "astm-d93-20-b" })
        {
            // ASTM D93, 11.1.5: first (23 ± 5) °C below; every 1 °C up to 110 °C expected, every 2 °C above.
            Assert.Equal((1.0, 1.0, 2.0), (Rules(id, 62).Applications.IntervalCelsius, Rules(id, 110).Applications.IntervalCelsius, Rules(id, 110.5).Applications.IntervalCelsius));
            Assert.Equal((23.0, 18.0, 28.0), (Rules(id, 62).Applications.FirstBelowExpectedCelsius, Rules(id, 62).Applications.FirstAtLatestBelowExpectedCelsius, Rules(id, 62).Applications.FirstAtEarliestBelowExpectedCelsius));
            // 18 to 28 °C above the first application: value from memory.
            Assert.Equal(new ValueRange(18, 28), Rules(id, 200).Applications.FlashWindowAboveFirstCelsius);
        }
    }

    [Fact]
    public void Pensky_Martens_precision_is_that_of_the_procedure()
    {
        // Procedure A: r 0.029 X, R 0.071 X. B: residual fuel 2.0 and 6.0 up to 100 °C, others 5.0 and 10.0. C: 8.4 and 14.7. Values from memory.
        var a = Method("iso-2719-2016-a").FlashPrecision!;
        Assert.Equal((2.9, 7.1), (Math.Round(a.RepeatabilityAt(100)!.Value, 6), Math.Round(a.ReproducibilityAt(100)!.Value, 6)));
        var b = Method("iso-2719-2016-b").FlashPrecision!;
        Assert.Equal((2.0, 6.0, 5.0, 10.0), (b.RepeatabilityAt(90, "residual fuel"), b.ReproducibilityAt(90, "residual fuel"), b.RepeatabilityAt(90), b.ReproducibilityAt(150)));
        var c = Method("astm-d93-20-c").FlashPrecision!;
        Assert.Equal((8.4, 14.7), (c.RepeatabilityAt(170), c.ReproducibilityAt(170)));
    }

    [Fact]
    public void The_correction_is_vouched_for_where_the_standard_says()
    {
        // ISO 2719, clause 11: proven down to 82.0 kPa. ISO 13736, note: 98.0 to 104.7 kPa.
        Assert.Equal(new ValueRange(82.0, 104.7), Method("iso-2719-2016-a").Barometric.StrictKilopascals);
        Assert.Equal(new ValueRange(98.0, 104.7), Method("iso-13736-2021").Barometric.StrictKilopascals);
        Assert.All(MethodCatalog.All, method => Assert.Equal((0.25, 101.3), (method.Barometric.CoefficientCelsiusPerKilopascal, method.Barometric.StandardKilopascals)));
    }

    [Fact]
    public void Abel_is_slow_and_cold()
    {
        var rules = Rules("iso-13736-2021", 40);

        // ISO 13736:2021, clause 1. The rest: values from memory.
        Assert.Equal(new TemperatureRange(-30, 75), rules.Method.FlashScopeCelsius);
        Assert.Equal(new TemperatureRange(-8.5, 75), rules.Method.Scope!.PrecisionCelsius);
        Assert.Equal((17.0, 9.0, 0.5), (rules.Ramp.StartAtLeastBelowExpectedCelsius, rules.Applications.FirstBelowExpectedCelsius, rules.Applications.IntervalCelsius));
        Assert.Equal(new RateBand(0.9, 1.1), rules.Ramp.ControlledHeatingCelsiusPerMinute);
        // IP 170/09, informative note: treat as r 1.4, R 3.2 °C.
        Assert.Equal(new Precision(1.4, 3.2), rules.Method.FlashPrecision);
    }

    [Fact]
    public void Tag_closed_has_two_regimes()
    {
        var (low, high) = (Rules("astm-d56-22", 59.9), Rules("astm-d56-22", 60));

        // ASTM D56: 1 °C in (60 ± 6) s and every 0.5 °C below 60 °C; 3 °C in (60 ± 6) s and every 1 °C from 60 °C on. Values from memory.
        Assert.Equal((0.91, 1.11, 0.5), (low.Ramp.ControlledHeatingCelsiusPerMinute.From, low.Ramp.ControlledHeatingCelsiusPerMinute.To, low.Applications.IntervalCelsius));
        Assert.Equal((2.73, 3.33, 1.0), (high.Ramp.ControlledHeatingCelsiusPerMinute.From, high.Ramp.ControlledHeatingCelsiusPerMinute.To, high.Applications.IntervalCelsius));
        Assert.Equal((1.2, 4.3), (low.Method.FlashPrecision!.RepeatabilityAt(50), low.Method.FlashPrecision.ReproducibilityAt(50)));
        Assert.Equal((1.6, 5.8), (low.Method.FlashPrecision.RepeatabilityAt(61), low.Method.FlashPrecision.ReproducibilityAt(61)));
        // ASTM D56, 1.1: below 5.5 mm²/s at 40 °C or 9.5 mm²/s at 25 °C.
        Assert.Equal([new(5.5, 40), new ViscosityLimit(9.5, 25)], low.Method.Scope!.ThinnerThan!);
    }

    [Fact]
    public void Rapid_equilibrium_charges_waits_and_steps_as_published()
    {
        var a = Method("iso-3679-2022-a").Equilibrium!;
        var b = Method("iso-3679-2022-b").Equilibrium!;

        Assert.Equal((EquilibriumAim.FlashNoFlash, EquilibriumAim.FlashPoint), (a.Aim, b.Aim));
        // ASTM D3828, 4.3: up to 100 °C 2 mL and 1 min, above 4 mL and 2 min; ISO 3679, 6.2: ± 0.05 and ± 0.10 mL.
        Assert.Equal([(2.0, 0.05, 60.0), (2.0, 0.05, 60.0), (4.0, 0.1, 120.0)], b.Charges.Select(charge => (charge.Millilitres, charge.ToleranceMillilitres!.Value, charge.WaitSeconds)));
        // ASTM D3828, clauses 11 and 12: 2.5 s; steps of 5, then 1, optionally 0.5 °C; set point to the nearest 0.5 °C.
        Assert.Equal((2.5, 0.5), (b.ShutterSeconds, b.OptionalStepCelsius));
        Assert.Equal([5.0, 1.0], b.StepsCelsius!);
        Assert.Equal(new SetPointRule { CoefficientCelsiusPerKilopascal = 0.25, StandardKilopascals = 101.3, StepCelsius = 0.5 }, a.SetPoint);
    }
}
