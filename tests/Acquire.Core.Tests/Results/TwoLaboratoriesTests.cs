using Acquire.Core.Methods;
using Acquire.Core.Results;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Results;

// Formula of ISO 4259-2: value from memory. r = 8, R = 18 °C: ISO 2592:2017, flash point.
public sealed class TwoLaboratoriesTests
{
    private static readonly Precision Cup = new(8, 18);

    [Theory]
    // √(R² − r²(1 − 1/(2k₁) − 1/(2k₂))) by hand: √324, √(324 − 64·0.25), √(324 − 64·0.5), √(324 − 64·0.75).
    [InlineData(1, 1, 18)]
    [InlineData(1, 2, 17.5499)]
    [InlineData(2, 2, 17.0880)]
    [InlineData(4, 4, 16.6132)]
    public void The_limit_narrows_with_the_number_of_results(int first, int second, double limit) =>
        Assert.Equal(limit, TwoLaboratories.LimitCelsius(Cup, 226, first, second), 0.0001);

    [Theory]
    [InlineData(226, 244, true)]
    [InlineData(244, 226, true)]
    [InlineData(226, 245, false)]
    public void Single_results_may_differ_by_the_reproducibility(double first, double second, bool agree)
    {
        var compared = TwoLaboratories.Compare(new(first, 1), new(second, 1), Cup);

        Assert.Equal(agree, compared.Agree);
        Assert.Equal(18, compared.LimitCelsius, 12);
        Assert.Equal(Math.Abs(first - second), compared.DifferenceCelsius, 12);
    }

    [Fact]
    public void What_single_results_may_means_may_not()
    {
        Assert.True(TwoLaboratories.Compare(new(226, 1), new(243.5, 1), Cup).Agree);
        var means = TwoLaboratories.Compare(new(226, 2), new(243.5, 4), Cup);

        Assert.False(means.Agree);
        Assert.StartsWith("226.0 °C (mean of 2) and 243.5 °C (mean of 4) differ by 17.5 °C (limit 16.85 °C): both are suspect.", means.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void The_limit_lies_between_reproducibility_and_what_no_repeats_can_remove() =>
        Gen.Select(Gen.Double[0.1, 10], Gen.Double[0.01, 10], Gen.Int[1, 50], Gen.Int[1, 50]).Sample((r, more, first, second) =>
        {
            var limit = TwoLaboratories.LimitCelsius(new(r, r + more), 226, first, second);
            Assert.InRange(limit, Math.Sqrt(((r + more) * (r + more)) - (r * r)) - 1e-9, r + more + 1e-9);
            Assert.Equal(limit, TwoLaboratories.LimitCelsius(new(r, r + more), 226, second, first), 9);
        });

    [Fact]
    public void What_cannot_be_compared_is_a_bug()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => TwoLaboratories.LimitCelsius(Cup, 226, 0, 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => TwoLaboratories.LimitCelsius(new(8, 7), 226, 1, 1));
        Assert.Throws<ArgumentException>(() => TwoLaboratories.Compare(new(double.NaN, 1), new(226, 1), Cup));
    }
}
