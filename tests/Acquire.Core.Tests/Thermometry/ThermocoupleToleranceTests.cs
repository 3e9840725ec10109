using Acquire.Core.Thermometry;
using Xunit;

namespace Acquire.Core.Tests.Thermometry;

/// <remarks>IEC 60584-1:2013, classes 1 and 2: value from memory.</remarks>
public sealed class ThermocoupleToleranceTests
{
    [Theory]
    [InlineData(ThermocoupleType.K, 1, 230, 1.5)]
    [InlineData(ThermocoupleType.K, 1, 375, 1.5)]
    [InlineData(ThermocoupleType.K, 1, 500, 2.0)]
    [InlineData(ThermocoupleType.N, 2, 230, 2.5)]
    [InlineData(ThermocoupleType.N, 2, 400, 3.0)]
    [InlineData(ThermocoupleType.J, 1, 750, 3.0)]
    [InlineData(ThermocoupleType.J, 2, 230, 2.5)]
    [InlineData(ThermocoupleType.T, 1, 230, 0.92)]
    [InlineData(ThermocoupleType.T, 1, 20, 0.5)]
    [InlineData(ThermocoupleType.T, 2, 230, 1.725)]
    [InlineData(ThermocoupleType.T, 2, -40, 1.0)]
    [InlineData(ThermocoupleType.S, 1, 230, 1.0)]
    [InlineData(ThermocoupleType.R, 1, 1100, 1.0)]
    public void A_class_allows_a_fixed_figure_or_a_share_of_the_temperature_whichever_is_larger(ThermocoupleType type, int toleranceClass, double celsius, double expected) =>
        Assert.Equal(expected, ThermocoupleTolerance.ToleranceCelsius(type, toleranceClass, celsius)!.Value, 9);

    [Theory]
    [InlineData(ThermocoupleType.J, 1, 751)]
    [InlineData(ThermocoupleType.K, 1, -41)]
    [InlineData(ThermocoupleType.S, 1, 1101)]
    [InlineData(ThermocoupleType.S, 2, 230)]
    [InlineData(ThermocoupleType.B, 1, 1000)]
    [InlineData(ThermocoupleType.E, 2, 230)]
    [InlineData(ThermocoupleType.K, 0, 230)]
    [InlineData(ThermocoupleType.K, 3, -100)]
    [InlineData(ThermocoupleType.K, 1, double.NaN)]
    public void Where_no_figure_is_known_none_is_given(ThermocoupleType type, int toleranceClass, double celsius) =>
        Assert.Null(ThermocoupleTolerance.ToleranceCelsius(type, toleranceClass, celsius));
}
