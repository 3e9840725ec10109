using Acquire.Core.Methods;
using Acquire.Core.Results;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Results;

public sealed class BarometricCorrectionTests
{
    // ISO 2592 and ASTM D92, clause 13: 0.25 °C/kPa from 101.3 kPa.
    private static readonly BarometricRule Rule = new() { CoefficientCelsiusPerKilopascal = 0.25, StandardKilopascals = 101.3, StrictKilopascals = new(98, 104.7) };

    private static readonly RoundingRule Whole = new(1, TieRule.HalfToEven);

    [Theory]
    // The formula is published (laboratory procedure for D93 and D92: 0.25 °C/kPa); the numbers are our own.
    [InlineData(228, 95.0, 229.575, 230)]
    [InlineData(243, 104.0, 242.325, 242)] // above standard pressure: the correction lowers the figure
    [InlineData(226, 101.3, 226.0, 226)]
    [InlineData(226, 97.3, 227.0, 227)]
    [InlineData(110, 82.0, 114.825, 115)]
    public void An_open_cup_point_is_corrected_and_then_rounded_once(double observed, double kilopascals, double corrected, double reported)
    {
        var at = BarometricCorrection.Correct(observed, kilopascals, Rule);

        Assert.Equal(corrected, at, 9);
        Assert.Equal(reported, Rounding.Round(at, Whole));
    }

    [Fact]
    public void Rounding_before_the_correction_would_report_another_figure()
    {
        // 228.45 °C at 99.1 kPa: 228.45 + 0.55 = 229.00. Rounded first: 228 + 0.55 = 228.55, which also goes to 229;
        // 228.5 °C: corrected 229.05 goes to 229, rounded first to even 228 gives 228.55 and 229; 227.5 °C tells them apart.
        var rightly = Rounding.Round(BarometricCorrection.Correct(227.5, 99.1, Rule), Whole);
        var wrongly = Rounding.Round(BarometricCorrection.Correct(Rounding.Round(227.5, Whole), 99.1, Rule), Whole);

        Assert.Equal(228, rightly);
        Assert.Equal(229, wrongly);
    }

    [Fact]
    public void The_coefficient_agrees_with_the_form_in_millimetres_of_mercury()
    {
        // ASTM D92, clause 13: 0.033 °C/mmHg; 1 mmHg = 0.133322 kPa (SI Brochure). 0.25 × 0.133322 = 0.03333.
        foreach (var millimetres in new[] { 650.0, 700, 730, 760, 780 })
        {
            var byKilopascals = BarometricCorrection.Correct(228, millimetres * 0.133322, Rule);
            var byMillimetres = 228 + (0.033 * (760 - millimetres));

            Assert.Equal(byMillimetres, byKilopascals, tolerance: 0.06);
        }
    }

    [Fact]
    public void Thirty_millimetres_of_mercury_are_one_degree_in_every_published_form()
    {
        // 730 mmHg and 60 °C: 60.990 by 0.033 °C/mmHg, 60.998 by 0.1333 kPa/mmHg (ISO 2719, clause 11; ASTM D3828, clause 13).
        var corrected = BarometricCorrection.Correct(60, 730 * 0.1333, Rule);

        Assert.Equal(60.998, corrected, tolerance: 0.001);
        Assert.Equal(61.0, Rounding.Round(corrected, new RoundingRule(0.5, TieRule.HalfToEven)));
    }

    [Fact]
    public void Lower_pressure_always_raises_the_corrected_figure()
    {
        Gen.Select(Gen.Double[0, 400], Gen.Double[45, 110], Gen.Double[0.001, 10]).Sample((celsius, kilopascals, less) =>
            BarometricCorrection.Correct(celsius, kilopascals - less, Rule) > BarometricCorrection.Correct(celsius, kilopascals, Rule));
    }
}
