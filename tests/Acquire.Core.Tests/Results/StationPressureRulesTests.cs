using Acquire.Core.Results;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Results;

public sealed class StationPressureRulesTests
{
    [Fact]
    public void A_reading_reduced_to_sea_level_is_refused_with_both_figures()
    {
        // ICAO table: 898.746 hPa at 1000 m.
        var error = StationPressureRules.Check("stationPressure", 101.6, 1000)!;

        Assert.Equal("stationPressure", error.Path);
        Assert.Contains("101.6 kPa", error.Message, StringComparison.Ordinal);
        Assert.Contains("89.9 kPa", error.Message, StringComparison.Ordinal);
        Assert.Contains("1000 m", error.Message, StringComparison.Ordinal);
        Assert.Contains("reduced to sea level", error.Message, StringComparison.Ordinal);
        Assert.Contains("Give the absolute station pressure", error.Message, StringComparison.Ordinal);
    }

    [Theory]
    // Standard atmosphere: 101.3 kPa at 0 m, 89.9 at 1000 m, 70.1 at 3000 m.
    [InlineData(89.9, 1000.0)]
    [InlineData(84.0, 1000.0)]
    [InlineData(95.8, 1000.0)]
    [InlineData(95.4, 0.0)]
    [InlineData(107.3, 0.0)]
    [InlineData(70.0, 3000.0)]
    [InlineData(101.4, 500.0)] // 95.5 at 500 m: weather could do it, so it passes
    [InlineData(60.0, null)]
    public void What_weather_can_do_is_taken(double kilopascals, double? metres) => Assert.Null(StationPressureRules.Check("p", kilopascals, metres));

    [Theory]
    [InlineData(83.8, 1000.0)]
    [InlineData(60.0, 0.0)]
    [InlineData(109.0, 0.0)]
    public void What_neither_weather_nor_the_reduction_explains_asks_for_unit_and_altitude(double kilopascals, double metres)
    {
        var error = StationPressureRules.Check("p", kilopascals, metres)!;

        Assert.Contains("check the barometer, the unit, and the altitude", error.Message, StringComparison.Ordinal);
        Assert.DoesNotContain("it was reduced", error.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(44.9)]
    [InlineData(110.1)]
    [InlineData(double.NaN)]
    public void Outside_the_range_the_range_is_told(double kilopascals) =>
        Assert.Contains("45.0 kPa to 110.0 kPa", StationPressureRules.Check("p", kilopascals, null)!.Message, StringComparison.Ordinal);

    [Fact]
    public void An_altitude_where_no_laboratory_is_is_refused_with_the_range()
    {
        Assert.Null(StationPressureRules.CheckAltitude("altitudeMetres", 160));
        foreach (var metres in new[] { -401, 5001, double.NaN, double.PositiveInfinity })
        {
            Assert.Contains("-400 to 5000 m", StationPressureRules.CheckAltitude("altitudeMetres", metres)!.Message, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void From_the_altitude_where_it_can_be_told_an_average_sea_level_pressure_is_always_refused() =>
        Gen.Double[520, 5000].Sample(metres => StationPressureRules.Check("p", 101.325, metres) is { Message: var said } && said.Contains("reduced", StringComparison.Ordinal));
}
