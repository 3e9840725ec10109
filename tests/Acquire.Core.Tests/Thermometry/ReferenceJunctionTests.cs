using Acquire.Core.Thermometry;
using Xunit;

namespace Acquire.Core.Tests.Thermometry;

public sealed class ReferenceJunctionTests
{
    [Theory]
    [InlineData(ThermocoupleType.K, 300, 25)]
    [InlineData(ThermocoupleType.K, 230, 20)]
    [InlineData(ThermocoupleType.J, 250, 50)]
    [InlineData(ThermocoupleType.T, 200, -40)]
    [InlineData(ThermocoupleType.N, 400, 25)]
    [InlineData(ThermocoupleType.E, 150, 25)]
    [InlineData(ThermocoupleType.R, 300, 25)]
    [InlineData(ThermocoupleType.S, 400, 25)]
    [InlineData(ThermocoupleType.B, 600, 100)]
    public void A_measured_emf_is_the_difference_of_two_printed_values(ThermocoupleType type, double celsius, double junctionCelsius)
    {
        // What a meter sees between junctions at T and Tj is E(T) - E(Tj).
        var measured = PrintedTable.Millivolts(type, celsius) - PrintedTable.Millivolts(type, junctionCelsius);
        var thermocouple = Thermocouple.Of(type);

        Assert.True(thermocouple.TryCelsius(measured, junctionCelsius, out var found));

        // Two printed values, each rounded to 0.001 mV.
        Assert.Equal(celsius, found, tolerance: 1.1 / thermocouple.SensitivityMicrovoltsPerCelsius(celsius));
    }

    [Fact]
    public void Adding_the_junction_temperature_instead_would_be_wrong_by_degrees()
    {
        // Type S at 400 °C, junction at 25 °C, printed values: 3.259 - 0.143 = 3.116 mV.
        var thermocouple = Thermocouple.Of(ThermocoupleType.S);
        Assert.True(thermocouple.TryCelsius(3.116, out var uncompensated));
        Assert.True(thermocouple.TryCelsius(3.116, 25, out var right));

        Assert.Equal(400, right, tolerance: 0.12);
        Assert.InRange(uncompensated + 25, 408, 411);
    }

    [Theory]
    [InlineData(ThermocoupleType.K, -270.01)]
    [InlineData(ThermocoupleType.K, 1372.01)]
    [InlineData(ThermocoupleType.B, -0.01)]
    [InlineData(ThermocoupleType.R, -50.01)]
    [InlineData(ThermocoupleType.K, double.NaN)]
    [InlineData(ThermocoupleType.K, double.PositiveInfinity)]
    public void A_junction_outside_the_function_gives_no_temperature(ThermocoupleType type, double junctionCelsius)
    {
        Assert.False(Thermocouple.Of(type).TryCelsius(5, junctionCelsius, out var celsius));
        Assert.Equal(double.NaN, celsius);
    }

    [Fact]
    public void Type_B_takes_a_junction_in_the_room_although_it_does_not_measure_there()
    {
        var thermocouple = Thermocouple.Of(ThermocoupleType.B);
        var measured = thermocouple.EmfMillivolts(1000) - thermocouple.EmfMillivolts(23);

        Assert.True(thermocouple.TryCelsius(measured, 23, out var celsius));
        Assert.Equal(1000, celsius, tolerance: 1e-6);
        Assert.False(thermocouple.TryCelsius(0, 23, out _));
    }
}
