using Acquire.Core.Thermometry;
using Xunit;

namespace Acquire.Core.Tests.Thermometry;

public sealed class ThermocoupleRangeTests
{
    public static TheoryData<ThermocoupleType> Letter => Letters.All;

    [Theory]
    // Ranges of the reference functions: NIST Monograph 175.
    [InlineData(ThermocoupleType.B, 0, 250, 1820)]
    [InlineData(ThermocoupleType.E, -270, -270, 1000)]
    [InlineData(ThermocoupleType.J, -210, -210, 1200)]
    [InlineData(ThermocoupleType.K, -270, -270, 1372)]
    [InlineData(ThermocoupleType.N, -270, -270, 1300)]
    [InlineData(ThermocoupleType.R, -50, -50, 1768.1)]
    [InlineData(ThermocoupleType.S, -50, -50, 1768.1)]
    [InlineData(ThermocoupleType.T, -270, -270, 400)]
    public void Each_type_has_its_published_range(ThermocoupleType type, double lowest, double lowestInvertible, double highest)
    {
        var thermocouple = Thermocouple.Of(type);

        Assert.Equal(type, thermocouple.Type);
        Assert.Equal((lowest, lowestInvertible, highest), (thermocouple.LowestCelsius, thermocouple.LowestInvertibleCelsius, thermocouple.HighestCelsius));
        Assert.Equal(thermocouple.EmfMillivolts(lowestInvertible), thermocouple.LowestEmfMillivolts);
        Assert.Equal(thermocouple.EmfMillivolts(highest), thermocouple.HighestEmfMillivolts);
        Assert.Same(thermocouple, Thermocouple.Of(type));
    }

    [Fact]
    public void There_is_no_ninth_letter() => Assert.Throws<ArgumentOutOfRangeException>(() => Thermocouple.Of((ThermocoupleType)8));

    [Theory]
    [MemberData(nameof(Letter))]
    public void The_ends_of_the_range_come_back(ThermocoupleType type)
    {
        var thermocouple = Thermocouple.Of(type);
        foreach (var end in new[] { thermocouple.LowestInvertibleCelsius, thermocouple.HighestCelsius })
        {
            Assert.True(thermocouple.TryCelsius(thermocouple.EmfMillivolts(end), out var celsius));
            Assert.Equal(end, celsius, tolerance: 1e-6);
            // To the last bit within the range, so that it can be turned into an emf again.
            Assert.InRange(celsius, thermocouple.LowestInvertibleCelsius, thermocouple.HighestCelsius);
        }
    }

    [Theory]
    [MemberData(nameof(Letter))]
    public void The_function_is_continuous_where_its_pieces_meet_and_comes_back_on_both_sides(ThermocoupleType type)
    {
        var thermocouple = Thermocouple.Of(type);
        Assert.NotEmpty(thermocouple.Breaks);
        Assert.All(thermocouple.Breaks, at =>
        {
            // The published pieces miss each other by 7.5e-8 mV at most (type J at 760 °C).
            Assert.Equal(thermocouple.EmfMillivolts(at), thermocouple.EmfMillivolts(Math.BitIncrement(at)), tolerance: 1e-7);
            foreach (var off in new[] { -1, -1e-3, -1e-6, -1e-9, 0, 1e-9, 1e-6, 1e-3, 1 })
            {
                Assert.True(thermocouple.TryCelsius(thermocouple.EmfMillivolts(at + off), out var celsius));
                Assert.Equal(at + off, celsius, tolerance: 1e-6);
            }
        });
    }

    [Theory]
    [MemberData(nameof(Letter))]
    public void Where_published_inverses_meet_both_sides_come_back(ThermocoupleType type)
    {
        var thermocouple = Thermocouple.Of(type);
        Assert.All(thermocouple.Published.Rows.SelectMany(row => new[] { row.LowestCelsius, row.HighestCelsius }), at =>
        {
            foreach (var off in new[] { -1e-3, -1e-6, 0, 1e-6, 1e-3 })
            {
                var near = Math.Clamp(at + off, thermocouple.LowestInvertibleCelsius, thermocouple.HighestCelsius);
                Assert.True(thermocouple.TryCelsius(thermocouple.EmfMillivolts(near), out var celsius));
                Assert.Equal(near, celsius, tolerance: 1e-6);
            }
        });
    }

    [Theory]
    [MemberData(nameof(Letter))]
    public void There_is_no_emf_at_0_degrees_to_the_last_bit(ThermocoupleType type)
    {
        var thermocouple = Thermocouple.Of(type);

        Assert.Equal(0, thermocouple.EmfMillivolts(0));
        if (type != ThermocoupleType.B)
        {
            Assert.True(thermocouple.TryCelsius(0, out var celsius));
            Assert.Equal(0, celsius, tolerance: 1e-8);
        }
    }

    [Theory]
    [MemberData(nameof(Letter))]
    public void Half_a_printed_digit_beyond_an_end_is_accepted_on_the_straight_line_and_no_more(ThermocoupleType type)
    {
        var thermocouple = Thermocouple.Of(type);
        var ends = new[] { (thermocouple.LowestInvertibleCelsius, thermocouple.LowestEmfMillivolts, -1), (thermocouple.HighestCelsius, thermocouple.HighestEmfMillivolts, 1) };
        foreach (var (end, emf, outwards) in ends)
        {
            Assert.True(thermocouple.TryCelsius(emf + (outwards * 0.00049), out var celsius));
            Assert.Equal(end + (outwards * 0.49 / thermocouple.SensitivityMicrovoltsPerCelsius(end)), celsius, tolerance: 1e-6);
            Assert.False(thermocouple.TryCelsius(emf + (outwards * 0.00051), out celsius));
            Assert.Equal(double.NaN, celsius);
        }
    }

    [Theory]
    [MemberData(nameof(Letter))]
    public void What_is_no_number_or_far_out_is_refused(ThermocoupleType type)
    {
        var thermocouple = Thermocouple.Of(type);
        foreach (var emf in new[] { double.NaN, double.PositiveInfinity, double.NegativeInfinity, double.MaxValue, double.MinValue, -11, 80 })
        {
            Assert.False(thermocouple.TryCelsius(emf, out var celsius));
            Assert.Equal(double.NaN, celsius);
        }

        foreach (var celsius in new[] { double.NaN, double.PositiveInfinity, double.NegativeInfinity, Math.BitDecrement(thermocouple.LowestCelsius), Math.BitIncrement(thermocouple.HighestCelsius) })
        {
            Assert.Throws<ArgumentOutOfRangeException>(() => thermocouple.EmfMillivolts(celsius));
            Assert.Throws<ArgumentOutOfRangeException>(() => thermocouple.SensitivityMicrovoltsPerCelsius(celsius));
        }
    }

    [Theory]
    // Printed: 0.291 mV at 250 °C, where the published inverse begins; 21 °C and less has a negative emf.
    [InlineData(0.290, false)]
    [InlineData(0.033, false)]
    [InlineData(0, false)]
    [InlineData(-0.002, false)]
    [InlineData(0.291, true)]
    public void Type_B_is_refused_below_250_degrees(double emf, bool accepted) =>
        Assert.Equal(accepted, Thermocouple.Of(ThermocoupleType.B).TryCelsius(emf, out _));
}
