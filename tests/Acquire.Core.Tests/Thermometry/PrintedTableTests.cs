using Acquire.Core.Thermometry;
using Xunit;

namespace Acquire.Core.Tests.Thermometry;

/// <remarks>No library that NuGet serves converts thermocouple emfs (its whole list was searched), so the tables that NIST printed are the peer.</remarks>
public sealed class PrintedTableTests
{
    [Fact]
    public void There_are_93_printed_values_and_every_type_has_some()
    {
        Assert.Equal(93, PrintedTable.All.Count);
        Assert.Equal(Enum.GetValues<ThermocoupleType>(), PrintedTable.All.Select(value => value.Type).Distinct().Order());
    }

    [Fact]
    public void Each_printed_emf_is_the_rounded_value_of_the_function()
    {
        Assert.All(PrintedTable.All, value =>
        {
            // Printed to 0.001 mV; the largest difference over all 12,026 printed values is 0.000500 mV.
            Assert.Equal(value.Millivolts, Thermocouple.Of(value.Type).EmfMillivolts(value.Celsius), tolerance: 0.00051);
        });
    }

    [Fact]
    public void Each_printed_emf_gives_its_temperature_as_far_as_the_printed_digits_tell()
    {
        // Type B below 250 °C is not inverted.
        var invertible = PrintedTable.All.Where(value => value.Celsius >= Thermocouple.Of(value.Type).LowestInvertibleCelsius).ToList();

        Assert.Equal(92, invertible.Count);
        Assert.All(invertible, value =>
        {
            var thermocouple = Thermocouple.Of(value.Type);
            Assert.True(thermocouple.TryCelsius(value.Millivolts, out var celsius));
            Assert.Equal(value.Celsius, celsius, tolerance: 0.6 / thermocouple.SensitivityMicrovoltsPerCelsius(value.Celsius));
        });
    }

    [Theory]
    [InlineData(ThermocoupleType.J)]
    [InlineData(ThermocoupleType.K)]
    [InlineData(ThermocoupleType.T)]
    public void The_sensitivity_is_the_rise_between_two_printed_neighbours(ThermocoupleType type)
    {
        var rise = (PrintedTable.Millivolts(type, 25) - PrintedTable.Millivolts(type, 20)) / 5 * 1000;

        // Two values rounded to 0.001 mV, 5 °C apart: 0.2 µV/°C at most.
        Assert.Equal(rise, Thermocouple.Of(type).SensitivityMicrovoltsPerCelsius(22.5), tolerance: 0.21);
    }
}
