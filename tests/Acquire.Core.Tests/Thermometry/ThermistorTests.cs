using Acquire.Core.Thermometry;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Thermometry;

public sealed class ThermistorTests
{
    // The coefficients printed for a probe with a 10 kohm thermistor (Campbell Scientific, instruction manual of the
    // temperature probe 109SS, chapter on measurement).
    private static readonly ThermistorSensor Probe = new(1.129241e-3, 2.341077e-4, 8.775468e-8);

    [Theory]
    // The same manual, appendix C, table C-1: resistance and temperature of that thermistor.
    [InlineData(336103.2, -40)]
    [InlineData(242430.2, -35)]
    [InlineData(176804.8, -30)]
    [InlineData(130307.6, -25)]
    [InlineData(97006.9, -20)]
    [InlineData(72911.1, -15)]
    [InlineData(55303.9, -10)]
    [InlineData(42316.7, -5)]
    [InlineData(32650.9, 0)]
    [InlineData(31030.8, 1)]
    public void A_published_table_comes_out_in_both_directions(double ohms, double celsius)
    {
        // The table gives the equation's result to 0.01 °C, and its slope is 5 to 7 % per °C.
        Assert.Equal(celsius, Thermistor.Celsius(ohms, Probe), tolerance: 0.00501);
        Assert.Equal(1, Thermistor.Ohms(celsius, Probe) / ohms, tolerance: 0.00501 * 0.07);
    }

    [Fact]
    public void Three_points_of_the_published_table_give_its_equation_back()
    {
        var sensor = Thermistor.FromThreePoints(new(336103.2, -40), new(97006.9, -20), new(32650.9, 0), out var error);

        Assert.Null(error);
        Assert.NotNull(sensor);
        Assert.Equal(Probe.A, sensor.A, tolerance: 2e-6);
        Assert.Equal(Probe.B, sensor.B, tolerance: 5e-7);
        Assert.Equal(Probe.C, sensor.C, tolerance: 1e-9);
        Assert.Equal(-10, Thermistor.Celsius(55303.9, sensor), tolerance: 0.001);
    }

    [Fact]
    public void Three_points_are_met_exactly_in_whatever_order()
    {
        ThermistorPoint cold = new(32650.9, 0), warm = new(Thermistor.Ohms(100, Probe), 100), hot = new(Thermistor.Ohms(200, Probe), 200);
        foreach (var (a, b, c) in new[] { (cold, warm, hot), (hot, cold, warm), (warm, hot, cold) })
        {
            var sensor = Thermistor.FromThreePoints(a, b, c, out _);
            Assert.NotNull(sensor);
            Assert.All(new[] { a, b, c }, point => Assert.Equal(point.Celsius, Thermistor.Celsius(point.Ohms, sensor), tolerance: 1e-9));
            Assert.All(new[] { a, b, c }, point => Assert.Equal(1, Thermistor.Ohms(point.Celsius, sensor) / point.Ohms, tolerance: 1e-10));
        }
    }

    [Fact]
    public void Temperature_to_resistance_and_back_loses_nothing()
    {
        // From no cubic term at all over a vanishing one to three times the usual, and a small negative one.
        var cubic = Gen.OneOf(Gen.Const(0.0), Gen.Const(1e-30), Gen.Double[1e-12, 3e-7], Gen.Double[-5e-8, -1e-12]);
        Gen.Select(Gen.Double[-60, 300], cubic, Gen.Double[1.5e-4, 4e-4]).Sample((celsius, c, b) =>
        {
            var ln = Math.Log(10_000);
            var sensor = new ThermistorSensor((1 / 298.15) - (ln * (b + (c * ln * ln))), b, c);
            var ohms = Thermistor.Ohms(celsius, sensor);
            Assert.Equal(celsius, Thermistor.Celsius(ohms, sensor), tolerance: 1e-8);
        });
    }

    [Theory]
    [InlineData(0)]
    [InlineData(-10)]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    public void What_is_no_resistance_has_no_temperature(double ohms) => Assert.True(double.IsNaN(Thermistor.Celsius(ohms, Probe)));

    [Theory]
    [InlineData(-273.15)]
    [InlineData(-300)]
    [InlineData(double.NaN)]
    public void What_is_no_temperature_has_no_resistance(double celsius) => Assert.True(double.IsNaN(Thermistor.Ohms(celsius, Probe)));

    [Fact]
    public void Coefficients_of_a_real_thermistor_pass() => Assert.Null(Thermistor.Check(Probe));

    [Theory]
    // Swapped, negative, for kΩ, for R/R25, a lost exponent, not a number.
    [InlineData(2.341077e-4, 1.129241e-3, 8.775468e-8, "25 °C")]
    [InlineData(1.129241e-3, -2.341077e-4, 8.775468e-8, "several resistances")]
    [InlineData(1.129241e-3, 2.341077e-4, -8.775468e-7, "several resistances")]
    [InlineData(2.77e-3, 2.5e-4, 2.6e-7, "25 °C")]
    [InlineData(3.3539438e-3, 2.5646095e-4, 1.0503069e-7, "25 °C")]
    [InlineData(1.129241e-2, 2.341077e-4, 8.775468e-8, "25 °C")]
    [InlineData(double.NaN, 2.341077e-4, 8.775468e-8, "not all numbers")]
    public void Coefficients_that_cannot_be_are_refused(double a, double b, double c, string says)
    {
        var error = Thermistor.Check(new(a, b, c), "testers[0].sensor");

        Assert.NotNull(error);
        Assert.Equal("testers[0].sensor", error.Path);
        Assert.Contains(says, error.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(32650.9, 0, 97006.9, 20, 336103.2, 40, "points[1]")]
    [InlineData(32650.9, 0, 10000, 25, 10000, 25, "points[2]")]
    [InlineData(32650.9, 0, 10000, 25, 9990, 25.1, "points[2]")]
    [InlineData(-1, 0, 10000, 25, 3000, 50, "points[0].ohms")]
    [InlineData(32650.9, 0, 10000, double.NaN, 3000, 50, "points[1].celsius")]
    [InlineData(32650.9, 0, 31000, 25, 300, 26, "points")]
    public void Points_that_cannot_be_are_refused(double r1, double t1, double r2, double t2, double r3, double t3, string path)
    {
        Assert.Null(Thermistor.FromThreePoints(new(r1, t1), new(r2, t2), new(r3, t3), out var error));
        Assert.NotNull(error);
        Assert.Equal(path, error.Path);
    }
}
