using Acquire.Core.Thermometry;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Thermometry;

public sealed class ThermometerUnitsTests
{
    private static readonly ThermometerUnit[] All = Enum.GetValues<ThermometerUnit>();

    [Theory]
    [InlineData("degC", ThermometerUnit.Celsius)]
    [InlineData("°C", ThermometerUnit.Celsius)]
    [InlineData("K", ThermometerUnit.Kelvin)]
    [InlineData("degF", ThermometerUnit.Fahrenheit)]
    [InlineData("°F", ThermometerUnit.Fahrenheit)]
    [InlineData("uV", ThermometerUnit.Microvolt)]
    [InlineData("\u00B5V", ThermometerUnit.Microvolt)]
    [InlineData("\u03BCV", ThermometerUnit.Microvolt)]
    [InlineData("mV", ThermometerUnit.Millivolt)]
    [InlineData("V", ThermometerUnit.Volt)]
    [InlineData("ohm", ThermometerUnit.Ohm)]
    [InlineData("\u03A9", ThermometerUnit.Ohm)]
    [InlineData("\u2126", ThermometerUnit.Ohm)]
    [InlineData("kohm", ThermometerUnit.Kiloohm)]
    [InlineData("k\u03A9", ThermometerUnit.Kiloohm)]
    [InlineData("k\u2126", ThermometerUnit.Kiloohm)]
    [InlineData("mA", ThermometerUnit.Milliampere)]
    public void A_word_or_symbol_names_its_unit(string word, ThermometerUnit unit)
    {
        Assert.True(ThermometerUnits.TryParse(word, out var found));
        Assert.Equal(unit, found);
    }

    [Theory]
    [InlineData("MV")]
    [InlineData("mv")]
    [InlineData("k")]
    [InlineData("C")]
    [InlineData("degc")]
    [InlineData("DegC")]
    [InlineData("A")]
    [InlineData("MA")]
    [InlineData("Ohm")]
    [InlineData("Kohm")]
    [InlineData(" mV")]
    [InlineData("")]
    [InlineData(null)]
    public void Anything_else_is_no_unit(string? word) => Assert.False(ThermometerUnits.TryParse(word, out _));

    [Fact]
    public void Words_and_symbols_read_back_and_the_list_for_people_is_complete()
    {
        foreach (var unit in All)
        {
            Assert.True(ThermometerUnits.TryParse(ThermometerUnits.Word(unit), out var fromWord));
            Assert.True(ThermometerUnits.TryParse(ThermometerUnits.Symbol(unit), out var fromSymbol));
            Assert.Equal((unit, unit), (fromWord, fromSymbol));
        }

        Assert.Equal(ThermometerUnits.AllWords, string.Join(", ", All.Select(ThermometerUnits.Word)));
    }

    [Fact]
    public void Files_use_the_same_words()
    {
        Assert.All(All, unit => Assert.Equal($"\"{ThermometerUnits.Word(unit)}\"", System.Text.Json.JsonSerializer.Serialize(unit)));
    }

    [Theory]
    [InlineData(210, ThermometerUnit.Celsius, 210, ThermometerQuantity.Temperature)]
    [InlineData(273.15, ThermometerUnit.Kelvin, 0, ThermometerQuantity.Temperature)]
    [InlineData(212, ThermometerUnit.Fahrenheit, 100, ThermometerQuantity.Temperature)]
    [InlineData(-40, ThermometerUnit.Fahrenheit, -40, ThermometerQuantity.Temperature)]
    [InlineData(4096, ThermometerUnit.Microvolt, 4.096, ThermometerQuantity.Voltage)]
    [InlineData(4.096, ThermometerUnit.Millivolt, 4.096, ThermometerQuantity.Voltage)]
    [InlineData(5, ThermometerUnit.Volt, 5000, ThermometerQuantity.Voltage)]
    [InlineData(138.51, ThermometerUnit.Ohm, 138.51, ThermometerQuantity.Resistance)]
    [InlineData(10, ThermometerUnit.Kiloohm, 10_000, ThermometerQuantity.Resistance)]
    [InlineData(12, ThermometerUnit.Milliampere, 12, ThermometerQuantity.Current)]
    public void Values_come_in_the_base_unit_of_their_quantity(double value, ThermometerUnit unit, double inBase, ThermometerQuantity quantity)
    {
        Assert.Equal(inBase, ThermometerUnits.ToBase(value, unit), tolerance: 1e-12);
        Assert.Equal(quantity, ThermometerUnits.Quantity(unit));
    }

    [Fact]
    public void There_and_back_loses_nothing()
    {
        Gen.Select(Gen.Double[-1e4, 1e4], Gen.Enum<ThermometerUnit>()).Sample((value, unit) =>
            Assert.Equal(value, ThermometerUnits.FromBase(ThermometerUnits.ToBase(value, unit), unit), tolerance: 1e-9));
    }
}
