using Acquire.Core.Results;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Results;

public sealed class StandardAtmosphereTests
{
    [Theory]
    // ICAO Doc 7488 (ISO 2533:1975), pressure at geopotential altitudes, hPa.
    [InlineData(0, 1013.25)]
    [InlineData(1000, 898.746)]
    [InlineData(2000, 794.952)]
    [InlineData(3000, 701.085)]
    [InlineData(4000, 616.402)]
    public void The_pressure_is_that_of_the_printed_table(double metres, double hectopascals) =>
        Assert.Equal(hectopascals / 10, StandardAtmosphere.Kilopascals(metres), 0.001);

    [Theory]
    // ICAO standard atmosphere (1964), altitudes of the standard pressure levels, to 1 m.
    [InlineData(-302, 1050)]
    [InlineData(111, 1000)]
    [InlineData(540, 950)]
    [InlineData(988, 900)]
    [InlineData(1457, 850)]
    [InlineData(1949, 800)]
    [InlineData(3012, 700)]
    [InlineData(4206, 600)]
    public void The_standard_pressure_levels_lie_at_their_altitudes(double metres, double hectopascals) =>
        Assert.Equal(hectopascals / 10, StandardAtmosphere.Kilopascals(metres), 0.0075); // 0.6 m at 12.5 Pa/m

    [Fact]
    public void The_pressure_falls_with_altitude() =>
        Gen.Select(Gen.Double[-400, 4999], Gen.Double[0.001, 1]).Sample((metres, more) =>
            StandardAtmosphere.Kilopascals(metres + more) < StandardAtmosphere.Kilopascals(metres));

    [Theory]
    [InlineData(-400.1)]
    [InlineData(5000.1)]
    [InlineData(double.NaN)]
    public void Where_no_laboratory_is_there_is_no_pressure(double metres) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => StandardAtmosphere.Kilopascals(metres));
}
