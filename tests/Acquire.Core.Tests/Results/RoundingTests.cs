using Acquire.Core.Methods;
using Acquire.Core.Results;
using Acquire.Core.Tests.Traces;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Results;

public sealed class RoundingTests
{
    [Theory]
    // ISO 80000-1, annex B, rule A: of two multiples equally near, the even one.
    [InlineData(229.5, 230)]
    [InlineData(230.5, 230)]
    [InlineData(231.5, 232)]
    [InlineData(-0.5, 0)]
    [InlineData(-1.5, -2)]
    [InlineData(229.4999, 229)]
    [InlineData(230.5001, 231)]
    public void A_tie_goes_to_the_even_multiple(double celsius, double reported) =>
        Assert.Equal(reported, Rounding.Round(celsius, new RoundingRule(1, TieRule.HalfToEven)));

    [Theory]
    [InlineData(229.5, 230)]
    [InlineData(230.5, 231)]
    [InlineData(-230.5, -231)]
    public void A_method_may_send_ties_away_from_zero(double celsius, double reported) =>
        Assert.Equal(reported, Rounding.Round(celsius, new RoundingRule(1, TieRule.HalfAwayFromZero)));

    [Theory]
    // ISO 2719, clause 12: nearest 0.5 °C (the formula is published, the numbers are our own).
    [InlineData(60.825, 61.0)]
    [InlineData(114.825, 115.0)]
    [InlineData(42.325, 42.5)]
    [InlineData(42.25, 42.0)]
    [InlineData(42.75, 43.0)]
    public void Half_degrees_work_as_whole_ones_do(double celsius, double reported) =>
        Assert.Equal(reported, Rounding.Round(celsius, new RoundingRule(0.5, TieRule.HalfToEven)));

    [Fact]
    public void A_tie_reached_by_a_sum_is_still_a_tie()
    {
        // 229.1 + 0.1 + 0.3 is 229.49999999999997 or 229.50000000000003 in binary, depending on the order.
        var rule = new RoundingRule(1, TieRule.HalfToEven);

        Assert.Equal(230, Rounding.Round(229.1 + 0.1 + 0.3, rule));
        Assert.Equal(230, Rounding.Round(230.1 + 0.1 + 0.3, rule));
    }

    [Fact]
    public void The_reported_figure_is_a_multiple_of_the_step_within_half_of_it()
    {
        Gen.Select(Gen.Double[-300, 1500], Pick.From(0.1, 0.5, 1.0, 2.0, 5.0), Pick.From(TieRule.HalfToEven, TieRule.HalfAwayFromZero)).Sample((celsius, step, ties) =>
        {
            var rounded = Rounding.Round(celsius, new RoundingRule(step, ties));
            Assert.InRange(Math.Abs(rounded - celsius), 0, (step / 2) + 1e-6);
            Assert.Equal(Math.Round(rounded / step), rounded / step, 6);
            Assert.Equal(rounded, Rounding.Round(rounded, new RoundingRule(step, ties)));
        });
    }
}
