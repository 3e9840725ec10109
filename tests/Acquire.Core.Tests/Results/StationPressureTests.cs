using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Core.Tests.Traces;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Results;

public sealed class StationPressureTests
{
    [Theory]
    // SI prefixes; 1 mbar = 100 Pa and 1 mmHg = 133.322 387 415 Pa (ISO 80000-4, conventional; 13.5951 × 9.80665 by definition).
    [InlineData("97.3 kPa", 97.3)]
    [InlineData("973 hPa", 97.3)]
    [InlineData("973mbar", 97.3)]
    [InlineData(" 760 mmHg ", 101.3250144354)]
    [InlineData("730 mmHg", 97.32534281295)]
    [InlineData("450 hPa", 45)]
    [InlineData("1100 mbar", 110)]
    [InlineData("45 kPa", 45)]
    [InlineData("110 kPa", 110)]
    public void A_reading_with_its_unit_becomes_kilopascals(string text, double kilopascals)
    {
        Assert.True(StationPressure.TryParse("pressure", text, out var parsed, out var error), error?.ToString());
        Assert.Null(error);
        Assert.Equal(kilopascals, parsed, 10);
    }

    [Fact]
    public void The_conversion_of_the_standard_differs_by_less_than_a_hundredth_of_a_degree()
    {
        // ISO 2719, clause 11: kPa = 0.1333 × mmHg; 0.25 °C/kPa.
        Assert.Equal(13.5951 * 9.80665 / 1000, PressureUnits.KilopascalsPerMillimetreOfMercury, 15);
        Assert.InRange(0.25 * 760 * Math.Abs(PressureUnits.KilopascalsPerMillimetreOfMercury - 0.1333), 0, 0.005);
    }

    [Theory]
    [InlineData("449 hPa", "449 hPa is not within 450 to 1100 hPa")]
    [InlineData("1100.1 mbar", "1100.1 mbar is not within 450 to 1100 mbar")]
    [InlineData("337 mmHg", "337 mmHg is not within 337.6 to 825 mmHg")]
    [InlineData("1013 kPa", "1013 kPa is not within 45 to 110 kPa; check the unit")]
    [InlineData("-97.3 kPa", "-97.3 kPa is not within 45 to 110 kPa")]
    [InlineData("97.3", "has no unit; write one of kPa, hPa, mbar, mmHg")]
    [InlineData("730 Torr", "has a unit that is none of kPa, hPa, mbar, mmHg")]
    [InlineData("97.3 kpa", "has a unit that is none of")]
    [InlineData("97.3 kPa\0", "has a unit that is none of")]
    [InlineData("9e1 kPa", "has a unit that is none of")]
    [InlineData("97,3 kPa", "with a decimal point")]
    [InlineData("kPa", "does not begin with a number")]
    [InlineData("NaN kPa", "does not begin with a number")]
    [InlineData("--9 kPa", "does not begin with a number")]
    [InlineData("", "has 0 characters")]
    [InlineData(null, "has 0 characters")]
    [InlineData("97.300000000000000000000000000000000000000 kPa", "has 46 characters")]
    public void What_is_no_station_pressure_is_refused_with_field_and_range(string? text, string expected)
    {
        Assert.False(StationPressure.TryParse("stationPressure", text, out var kilopascals, out var error));

        Assert.Equal("stationPressure", error!.Path);
        Assert.Contains(expected, error.Message, StringComparison.Ordinal);
        Assert.Equal(0, kilopascals);
    }

    [Theory]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    [InlineData(double.NegativeInfinity)]
    public void A_value_that_is_no_number_is_refused(double value) =>
        Assert.False(StationPressure.TryConvert("p", value, "kPa", out _, out _));

    [Fact]
    public void The_range_a_message_allows_is_allowed()
    {
        foreach (var unit in PressureUnits.AllWords.Split(", "))
        {
            Assert.False(StationPressure.TryConvert("p", 1, unit, out _, out var error));
            var words = error!.Message.Split(' ');
            var from = double.Parse(words[5], System.Globalization.CultureInfo.InvariantCulture);
            var to = double.Parse(words[7], System.Globalization.CultureInfo.InvariantCulture);

            Assert.True(StationPressure.TryConvert("p", from, unit, out _, out _), $"{from} {unit}");
            Assert.True(StationPressure.TryConvert("p", to, unit, out _, out _), $"{to} {unit}");
            Assert.False(StationPressure.TryConvert("p", from - 0.2, unit, out _, out _), $"{from} {unit}");
            Assert.False(StationPressure.TryConvert("p", to + 0.2, unit, out _, out _), $"{to} {unit}");
        }
    }

    [Fact]
    public void A_pressure_goes_into_every_unit_and_back()
    {
        Gen.Select(Gen.Double[45, 110], Pick.From(Enum.GetValues<PressureUnit>())).Sample((kilopascals, unit) =>
        {
            var there = PressureUnits.FromKilopascals(kilopascals, unit);
            Assert.Equal(kilopascals, PressureUnits.ToKilopascals(there, unit), 10);
            Assert.True(PressureUnits.TryParse(PressureUnits.Word(unit), out var again));
            Assert.Equal(unit, again);
        });
    }

    [Fact]
    public void Any_text_gives_a_pressure_in_range_or_an_error()
    {
        Gen.String.Sample(text =>
        {
            var parsed = StationPressure.TryParse("p", text, out var kilopascals, out var error);
            Assert.Equal(parsed, error is null);
            Assert.True(!parsed || RunPlan.StationPressureRangeKilopascals.Contains(kilopascals));
        });
    }
}
