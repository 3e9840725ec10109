using Acquire.Core.Results;
using Acquire.Core.Tests.Traces;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Results;

public sealed class UncertaintyBudgetTests
{
    private const string Invented = "invented for the test";

    // A worked example of ours with invented figures: observed 226 °C at 97.3 kPa, interval 2 °C, rounded to 1 °C.
    private static readonly Contribution[] Instruments =
    [
        Contribution.Normal("calibration", 0.5, 2, "°C", Invented),
        Contribution.Rectangular("drift", 0.3, "°C", Invented),
        Contribution.Rectangular("resolution", 0.05, "°C", Invented),
        Contribution.Rectangular("lag", 0.4, "°C", Invented),
        Contribution.Rectangular("interval", 1, "°C", Invented),
        Contribution.Rectangular("barometer", 0.3, "kPa", Invented) with { Sensitivity = 0.25 },
        Contribution.Rectangular("coefficient", 0.05, "°C/kPa", Invented) with { Sensitivity = 4 },
        Contribution.Rectangular("ramp", 0.5, "°C/min", Invented) with { Sensitivity = 1 },
        Contribution.Rectangular("rounding", 0.5, "°C", Invented),
    ];

    private static readonly Contribution Scatter = Contribution.Standard("repeatability", 1.5, "°C", Invented) with { DegreesOfFreedom = 9 };

    private static readonly Gen<Contribution> AnyContribution =
        Gen.Select(Gen.Double[0.001, 10], Gen.Int[0, 3], Gen.Double[0.01, 3], Gen.Bool, Gen.Int[0, 40]).Select((value, kind, size, negative, degrees) => (kind switch
        {
            0 => Contribution.Normal("n", value, 2, "°C", Invented),
            1 => Contribution.Rectangular("r", value, "°C", Invented),
            2 => Contribution.Triangular("t", value, "°C", Invented),
            _ => Contribution.Standard("s", value, "°C", Invented),
        }) with { Sensitivity = negative ? -size : size, DegreesOfFreedom = degrees == 0 ? null : degrees });

    private static readonly Gen<Contribution[]> AnyBudget = AnyContribution.Array[1, 12];

    [Fact]
    public void The_worked_example_adds_up()
    {
        // Each line by hand: 0.5/2, 0.3/√3, 0.05/√3, 0.4/√3, 1/√3, 0.3·0.25/√3, 0.05·4/√3, 0.5/√3, 0.5/√3.
        double[] byHand = [0.250, 0.173, 0.029, 0.231, 0.577, 0.043, 0.115, 0.289, 0.289];
        var subtotal = new UncertaintyBudget(Instruments);

        Assert.Equal(byHand, subtotal.Lines.Select(line => Math.Round(line.Contribution.StandardCelsius, 3)));
        Assert.Equal(0.8136, subtotal.CombinedCelsius, 0.00005);
        Assert.Null(subtotal.EffectiveDegreesOfFreedom);

        var withScatter = new UncertaintyBudget([.. Instruments, Scatter]);
        Assert.Equal(1.706, withScatter.CombinedCelsius, 0.0005);
        Assert.Equal(3.41, withScatter.Expanded(2), 0.005);
    }

    [Fact]
    public void Without_what_the_scatter_already_holds_the_worked_example_is_smaller()
    {
        var budget = new UncertaintyBudget([.. Instruments.Where(line => line.Name is not ("interval" or "resolution" or "rounding")), Scatter]);

        Assert.Equal(1.579, budget.CombinedCelsius, 0.0005);
        Assert.Equal(3.16, budget.Expanded(2), 0.005);
        Assert.Equal(11.1, budget.EffectiveDegreesOfFreedom!.Value, 0.05);
        // t(0.975) for 11 degrees of freedom, printed tables: 2.201.
        Assert.Equal(2.201, budget.CoverageFactor, 0.0005);
        Assert.Equal(1.579 * 2.201, budget.ExpandedCelsius, 0.002);
    }

    [Fact]
    public void The_end_gauge_of_the_guide_comes_out_as_printed()
    {
        // JCGM 100:2008, H.1.6 and table H.1, in nm: u(ls) 25 (18), u(d) 9.7 (25.6), 2.9 (50), 16.6 (2); u_c 32 and 16.7 cut to 16.
        // The inputs are printed rounded: from them the degrees of freedom come to 16.76.
        var budget = new UncertaintyBudget(
        [
            Contribution.Standard("standard", 25, "nm", "table H.1") with { DegreesOfFreedom = 18 },
            Contribution.Standard("difference", 9.7, "nm", "table H.1") with { DegreesOfFreedom = 25.6 },
            Contribution.Standard("expansion", 2.9, "nm", "table H.1") with { DegreesOfFreedom = 50 },
            Contribution.Standard("temperature", 16.6, "nm", "table H.1") with { DegreesOfFreedom = 2 },
        ]);

        Assert.Equal(32, Math.Round(budget.CombinedCelsius));
        Assert.Equal(16.7, budget.EffectiveDegreesOfFreedom!.Value, 0.1);
        Assert.Equal(2.120, budget.CoverageFactor, 0.0005); // t(0.975) for 16, printed tables
    }

    [Fact]
    public void A_simulation_of_the_worked_example_finds_the_same_interval()
    {
        // Propagation of distributions (JCGM 101:2008) with normal scatter; with 2·10⁶ draws the half-width is 3.34.
        var budget = new UncertaintyBudget([.. Instruments, Scatter]);
        var noise = new Noise(20_101);
        var draws = new double[200_000];
        for (var i = 0; i < draws.Length; i++)
        {
            draws[i] = budget.Lines.Sum(line => line.Contribution.Sensitivity * Draw(line.Contribution, noise));
        }

        Array.Sort(draws);
        var halfWidth = (draws[(int)(0.975 * draws.Length)] - draws[(int)(0.025 * draws.Length)]) / 2;
        var mean = draws.Average();
        var deviation = Math.Sqrt(draws.Sum(draw => (draw - mean) * (draw - mean)) / (draws.Length - 1));

        Assert.Equal(3.34, halfWidth, 0.03);
        Assert.Equal(budget.CombinedCelsius, deviation, 0.01);
        Assert.Equal(CoverageFactor.Normal * budget.CombinedCelsius, halfWidth, 0.03);
    }

    [Fact]
    public void Each_distribution_has_its_divisor()
    {
        // JCGM 100:2008, 4.3.3, 4.3.7, 4.3.9: k, √3, √6.
        Assert.Equal(0.3, Contribution.Normal("n", 0.6, 2, "°C", Invented).StandardCelsius, 12);
        Assert.Equal(0.6 / 1.7320508, Contribution.Rectangular("r", 0.6, "°C", Invented).StandardCelsius, 7);
        Assert.Equal(0.6 / 2.4494897, Contribution.Triangular("t", 0.6, "°C", Invented).StandardCelsius, 7);
        Assert.Equal(0.6, Contribution.Standard("s", 0.6, "°C", Invented).StandardCelsius, 12);
        Assert.Equal(0.3, (Contribution.Standard("s", 0.6, "kPa", Invented) with { Sensitivity = -0.5 }).StandardCelsius, 12);
    }

    [Fact]
    public void The_order_of_the_lines_does_not_matter() => AnyBudget.Sample(lines =>
    {
        var (there, back) = (new UncertaintyBudget(lines), new UncertaintyBudget([.. lines.Reverse()]));
        Assert.Equal(there.CombinedCelsius, back.CombinedCelsius, 9);
        Assert.Equal(there.EffectiveDegreesOfFreedom ?? -1, back.EffectiveDegreesOfFreedom ?? -1, 6);
    });

    [Fact]
    public void Another_line_never_lowers_the_combined_uncertainty() => Gen.Select(AnyBudget, AnyContribution).Sample((lines, more) =>
        new UncertaintyBudget([.. lines, more]).CombinedCelsius >= new UncertaintyBudget(lines).CombinedCelsius);

    [Fact]
    public void Everything_twice_as_uncertain_is_twice_as_uncertain() => Gen.Select(AnyBudget, Gen.Double[0.01, 100]).Sample((lines, factor) =>
    {
        var one = new UncertaintyBudget(lines);
        var scaled = new UncertaintyBudget([.. lines.Select(line => line with { Sensitivity = line.Sensitivity * factor })]);
        Assert.Equal(1, scaled.CombinedCelsius / (factor * one.CombinedCelsius), 9);
        Assert.Equal(one.CoverageFactor, scaled.CoverageFactor, 9);
    });

    [Fact]
    public void The_shares_add_up_and_the_degrees_of_freedom_lie_between_the_least_and_all_together() => AnyBudget.Sample(lines =>
    {
        var budget = new UncertaintyBudget(lines);
        Assert.Equal(100, budget.Lines.Sum(line => line.SharePercent), 9);
        if (budget.EffectiveDegreesOfFreedom is { } effective)
        {
            Assert.True(effective >= lines.Min(line => line.DegreesOfFreedom ?? double.PositiveInfinity) * (1 - 1e-12));
        }

        if (lines.All(line => line.DegreesOfFreedom is not null))
        {
            Assert.True(budget.EffectiveDegreesOfFreedom <= lines.Sum(line => line.DegreesOfFreedom) * (1 + 1e-12));
        }
    });

    [Fact]
    public void Lines_that_are_no_figures_are_bugs()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => Contribution.Standard("s", -1, "°C", Invented));
        Assert.Throws<ArgumentOutOfRangeException>(() => Contribution.Standard("s", double.NaN, "°C", Invented));
        Assert.Throws<ArgumentOutOfRangeException>(() => Contribution.Normal("n", 1, 0, "°C", Invented));
        Assert.Throws<ArgumentException>(() => new UncertaintyBudget([]));
        Assert.Throws<ArgumentException>(() => new UncertaintyBudget([Scatter with { DegreesOfFreedom = 0.5 }]));
        Assert.Throws<ArgumentException>(() => new UncertaintyBudget([Scatter with { Sensitivity = double.NaN }]));
    }

    [Fact]
    public void A_budget_of_nothing_but_a_zero_has_no_shares_and_no_limit_of_freedom()
    {
        var budget = new UncertaintyBudget([Contribution.Standard("s", 0, "°C", Invented) with { DegreesOfFreedom = 3 }]);

        Assert.Equal(0, budget.ExpandedCelsius);
        Assert.Null(budget.EffectiveDegreesOfFreedom);
        Assert.Equal(0, budget.Lines[0].SharePercent);
    }

    private static double Draw(Contribution line, Noise noise) => line.Distribution switch
    {
        ContributionDistribution.Rectangular => noise.Between(-line.Value, line.Value),
        ContributionDistribution.Triangular => (noise.Between(-line.Value, line.Value) + noise.Between(-line.Value, line.Value)) / 2,
        _ => line.Value / line.Divisor * noise.Normal(),
    };
}
