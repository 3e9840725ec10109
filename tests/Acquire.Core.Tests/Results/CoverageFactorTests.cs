using Acquire.Core.Results;
using CsCheck;
using MathNet.Numerics.Distributions;
using Xunit;

namespace Acquire.Core.Tests.Results;

public sealed class CoverageFactorTests
{
    [Theory]
    // t(0.975) as printed in tables of Student's distribution (NIST/SEMATECH e-Handbook, 1.3.6.7.2; JCGM 100:2008, table G.2 to two digits).
    [InlineData(1, 12.706)]
    [InlineData(2, 4.303)]
    [InlineData(3, 3.182)]
    [InlineData(4, 2.776)]
    [InlineData(5, 2.571)]
    [InlineData(9, 2.262)]
    [InlineData(10, 2.228)]
    [InlineData(11, 2.201)]
    [InlineData(20, 2.086)]
    [InlineData(30, 2.042)]
    [InlineData(50, 2.009)]
    [InlineData(100, 1.984)]
    public void The_factor_is_that_of_the_printed_table(double degrees, double printed) => Assert.Equal(printed, CoverageFactor.For(degrees), 0.0005);

    [Fact]
    public void Unlimited_degrees_of_freedom_give_the_normal_distribution()
    {
        Assert.Equal(1.960, CoverageFactor.For(null), 0.0005);
        Assert.Equal(new Normal().InverseCumulativeDistribution(0.975), CoverageFactor.For(null), 12);
        Assert.Equal(CoverageFactor.For(null), CoverageFactor.For(1e9), 1e-8);
    }

    [Fact]
    public void The_factor_agrees_with_an_independent_implementation()
    {
        foreach (var degrees in Enumerable.Range(1, 260).Concat([500, 1000, 10_000]))
        {
            // Compared as probability: the other side finds its quantile by a search that ends before the last digits.
            var inside = 1 - (2 * StudentT.CDF(0, 1, degrees, -CoverageFactor.For(degrees)));
            Assert.Equal(0.95, inside, 11);
        }
    }

    [Fact]
    public void A_fraction_of_a_degree_of_freedom_is_cut_off()
    {
        Assert.Equal(CoverageFactor.For(11), CoverageFactor.For(11.9));
        Assert.Equal(CoverageFactor.For(11), CoverageFactor.For(11 - 1e-12));
        Assert.True(CoverageFactor.For(11) < CoverageFactor.For(10.99));
    }

    [Fact]
    public void More_degrees_of_freedom_never_make_the_factor_larger() =>
        Gen.Select(Gen.Double[1, 400], Gen.Double[0, 400]).Sample((degrees, more) => CoverageFactor.For(degrees + more) <= CoverageFactor.For(degrees));

    [Theory]
    [InlineData(0.99)]
    [InlineData(0)]
    [InlineData(-3)]
    [InlineData(double.NaN)]
    public void Fewer_than_one_degree_of_freedom_is_a_bug(double degrees) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => CoverageFactor.For(degrees));
}
