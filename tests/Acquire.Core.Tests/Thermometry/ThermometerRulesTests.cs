using Acquire.Core.Thermometry;
using Xunit;

namespace Acquire.Core.Tests.Thermometry;

public sealed class ThermometerRulesTests
{
    private static readonly ThermocoupleSensor Measured = new(ThermocoupleType.K, ReferenceJunctionKind.Measured, null);

    [Theory]
    [InlineData(ThermometerUnit.Celsius)]
    [InlineData(ThermometerUnit.Kelvin)]
    [InlineData(ThermometerUnit.Fahrenheit)]
    public void Temperature_without_a_sensor_is_all_right(ThermometerUnit unit)
    {
        Assert.Empty(ThermometerRules.Check(ThermometerChain.Plain with { Unit = unit }, hasJunction: false));
    }

    [Fact]
    public void Messages_call_the_thermometer_what_the_caller_calls_it()
    {
        var chain = ThermometerChain.Plain with { Unit = ThermometerUnit.Ohm };

        Assert.Contains("but chain.json has no sensor", Assert.Single(ThermometerRules.Check(chain, hasJunction: false, "chain.json")).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Everything_that_does_not_go_together_is_told_at_once()
    {
        var chain = new ThermometerChain
        {
            Unit = ThermometerUnit.Ohm,
            Sensor = Measured,
            Limits = new() { ColdestCelsius = 10, HottestCelsius = 10, ConverterLow = 1, ConverterHigh = 1 },
            Calibration = new() { Number = "", CalibratedOn = new(2026, 3, 2), DueOn = new(2026, 3, 2), Points = [] },
        };

        Assert.Equal(
            ["unit", "sensor.referenceJunction", "limits.coldestCelsius", "limits.converterLow", "calibration.number", "calibration.dueOn", "calibration.points"],
            ThermometerRules.Check(chain, hasJunction: false).Select(error => error.Path));
    }

    [Fact]
    public void Fixed_junction_needs_its_temperature()
    {
        var chain = new ThermometerChain { Unit = ThermometerUnit.Millivolt, Sensor = Measured with { ReferenceJunction = ReferenceJunctionKind.Fixed } };

        Assert.Equal("sensor.junctionCelsius", Assert.Single(ThermometerRules.Check(chain, hasJunction: false)).Path);
    }

    // An equation that turns round above some 100 Mohm, and a thermistor of 9 Mohm at 25 °C: it would reach -50 °C beyond the turn.
    [Fact]
    public void Thermistor_whose_curve_ends_before_minus_50_degrees_is_refused()
    {
        const double B = 2.2e-4;
        const double C = -B / (3 * 18.5 * 18.5);
        var ln = Math.Log(9e6);
        var chain = new ThermometerChain { Unit = ThermometerUnit.Kiloohm, Sensor = new ThermistorSensor((1 / 298.15) - (B * ln) - (C * ln * ln * ln), B, C) };

        var error = Assert.Single(ThermometerRules.Check(chain, hasJunction: false));

        Assert.Equal("sensor", error.Path);
        Assert.Contains("from -50 to 300 °C", error.Message, StringComparison.Ordinal);
    }
}
