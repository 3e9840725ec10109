using Acquire.Core.Results;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Results;

// Procedure and formulas of ISO 4259-2: value from memory. r = 8 °C is that of ISO 2592:2017 for the flash point.
public sealed class DuplicatesTests
{
    private const double R = 8;

    [Theory]
    [InlineData(226, 234, true)]
    [InlineData(226, 218, true)]
    [InlineData(226, 226, true)]
    [InlineData(226, 235, false)]
    [InlineData(226, 217, false)]
    public void Two_results_may_differ_by_the_repeatability(double first, double second, bool agree)
    {
        var compared = Duplicates.Compare([first, second], R);

        Assert.Equal(R, compared.LimitCelsius, 12);
        Assert.Equal(Math.Abs(first - second), compared.DifferenceCelsius, 12);
        Assert.Equal(agree ? Agreement.Agree : Agreement.FurtherResults, compared.Agreement);
        Assert.Equal(agree ? (first + second) / 2 : null, compared.MeanCelsius);
    }

    [Fact]
    public void A_difference_of_exactly_the_limit_agrees_in_tenths_too() => Assert.Equal(Agreement.Agree, Duplicates.Compare([60.3, 60.0], 0.3).Agreement);

    [Fact]
    public void Two_results_apart_ask_for_further_ones_in_a_plain_sentence()
    {
        var compared = Duplicates.Compare([226, 236], R);

        Assert.Equal("226.0 °C and 236.0 °C differ by 10.0 °C (limit 8.0 °C): too far apart. Make further determinations on fresh test portions, until there are at least 5 results, and compare all of them.", compared.Text);
    }

    [Theory]
    // r·√(k/(2(k−1))), by hand: 8·√(3/4), 8·√(5/8), 8·√(10/18).
    [InlineData(2, 8)]
    [InlineData(3, 6.9282)]
    [InlineData(5, 6.3246)]
    [InlineData(10, 5.9628)]
    public void The_limit_narrows_with_the_number_of_results(int results, double limit) => Assert.Equal(limit, Duplicates.LimitCelsius(results, R), 0.0001);

    [Fact]
    public void The_limit_is_that_of_a_difference_between_one_result_and_a_mean()
    {
        // Var(x − mean of k−1) = s²·k/(k−1), and r = 1.96·√2·s: both give the same limit.
        const double S = R / (1.96 * 1.4142135623730951);
        foreach (var k in Enumerable.Range(2, 19))
        {
            Assert.Equal(1.96 * S * Math.Sqrt(k / (k - 1.0)), Duplicates.LimitCelsius(k, R), 9);
        }
    }

    [Fact]
    public void Five_results_that_agree_after_all_give_their_mean()
    {
        // 236 and the mean of the others, 229.75, are 6.25 apart; 6.32 is the limit.
        var compared = Duplicates.Compare([226, 236, 231, 231, 231], R);

        Assert.Equal(Agreement.Agree, compared.Agreement);
        Assert.Equal(231, compared.MeanCelsius!.Value, 9);
        Assert.Equal(6.25, compared.DifferenceCelsius, 9);
    }

    [Fact]
    public void One_result_apart_from_four_others_is_rejected()
    {
        var compared = Duplicates.Compare([226, 240, 227, 228, 226], R);

        Assert.Equal(Agreement.OneRejected, compared.Agreement);
        Assert.Equal(226.75, compared.MeanCelsius!.Value, 9);
        Assert.Equal(13.25, compared.DifferenceCelsius, 9);
        Assert.Contains("240.0 °C is rejected", compared.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Two_results_apart_from_the_others_end_the_series()
    {
        var compared = Duplicates.Compare([226, 245, 227, 205, 226], R);

        Assert.Equal(Agreement.NewSeries, compared.Agreement);
        Assert.Null(compared.MeanCelsius);
        Assert.Contains("begin a new series", compared.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Three_results_apart_ask_for_more() => Assert.Equal(Agreement.FurtherResults, Duplicates.Compare([226, 240, 227], R).Agreement);

    [Fact]
    public void The_order_of_the_results_does_not_matter() =>
        Gen.Select(Gen.Int[0, 60].Array[2, 12], Gen.Int[1, 20]).Sample((steps, r) =>
        {
            double[] results = [.. steps.Select(step => 200 + (step / 2.0))];
            var (there, back) = (Duplicates.Compare(results, r), Duplicates.Compare([.. results.Reverse()], r));
            Assert.Equal(there.DifferenceCelsius, back.DifferenceCelsius, 9);
            // Two equally far on opposite sides: which of them is rejected is the order's choice, whether they agree is not.
            Assert.Equal(there.Agreement == Agreement.Agree, back.Agreement == Agreement.Agree);
        });

    [Fact]
    public void Only_what_a_run_reports_is_compared()
    {
        Assert.True(Duplicates.TryTake("runs[0]", ClosedRuns.Valid, ClosedRuns.Plan, PointKind.Flash, out var celsius, out var none));
        Assert.Equal(227, celsius);
        Assert.Null(none);

        var invalid = ClosedRuns.Invalid(ClosedRuns.Found(FindingCodes.FlashAtFirstApplication, FindingWeight.Invalid, 203));
        Assert.False(Duplicates.TryTake("runs[1]", invalid, ClosedRuns.Plan, PointKind.Flash, out celsius, out var error));
        Assert.True(double.IsNaN(celsius));
        Assert.Equal("runs[1]", error!.Path);
        Assert.EndsWith("It cannot be compared.", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void What_cannot_be_compared_is_a_bug()
    {
        Assert.Throws<ArgumentException>(() => Duplicates.Compare([226], R));
        Assert.Throws<ArgumentException>(() => Duplicates.Compare([226, double.NaN], R));
        Assert.Throws<ArgumentException>(() => Duplicates.Compare([226, 227], 0));
        Assert.Throws<ArgumentException>(() => Duplicates.Compare([.. Enumerable.Repeat(226.0, 21)], R));
    }
}
