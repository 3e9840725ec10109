using Acquire.Core.Thermometry;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Thermometry;

public sealed class PlatinumThermometerTests
{
    private static readonly PlatinumSensor FourWires = new(100, 4, null, PlatinumTolerance.A);

    [Fact]
    public void The_printed_table_of_IEC_60751_comes_out_to_its_last_digit()
    {
        var printed = PlatinumTableRow.All.Where(row => row.PrintedOhms is not null).ToList();

        Assert.Equal(30, printed.Count);
        Assert.All(printed, row => Assert.Equal(row.PrintedOhms!.Value, PlatinumThermometer.Ohms(row.Celsius, 100), tolerance: 0.00501));
        Assert.All(PlatinumTableRow.All, row => Assert.Equal(row.FormulaOhms, PlatinumThermometer.Ohms(row.Celsius, 100), tolerance: 0.000051));
        Assert.All(PlatinumTableRow.All, row => Assert.Equal(row.OhmsPerCelsius, PlatinumThermometer.OhmsPerCelsius(row.Celsius, 100), tolerance: 0.0000051));
    }

    [Fact]
    public void A_printed_resistance_gives_its_temperature_within_half_a_step_of_print()
    {
        foreach (var row in PlatinumTableRow.All.Where(row => row.PrintedOhms is not null))
        {
            Assert.True(PlatinumThermometer.TryCelsius(row.PrintedOhms!.Value, 100, out var celsius));
            Assert.Equal(row.Celsius, celsius, tolerance: 0.00501 / row.OhmsPerCelsius);
        }
    }

    [Theory]
    [InlineData(PlatinumTolerance.AA, 0)]
    [InlineData(PlatinumTolerance.A, 1)]
    [InlineData(PlatinumTolerance.B, 2)]
    [InlineData(PlatinumTolerance.C, 3)]
    public void Tolerances_agree_with_the_table_in_degrees_and_in_ohm(PlatinumTolerance tolerance, int column) =>
        Assert.All(PlatinumTableRow.All, row =>
        {
            var celsius = PlatinumThermometer.ToleranceCelsius(tolerance, row.Celsius);
            Assert.Equal(row.ToleranceCelsius[column], celsius, tolerance: 0.000501);
            Assert.Equal(row.ToleranceOhms[column], celsius * PlatinumThermometer.OhmsPerCelsius(row.Celsius, 100), tolerance: 0.00101);
        });

    [Fact]
    public void Temperature_to_resistance_and_back_loses_nothing()
    {
        Gen.Select(Gen.Double[-200, 850], Gen.Double[10, 10_000]).Sample((celsius, r0) =>
        {
            Assert.True(PlatinumThermometer.TryCelsius(PlatinumThermometer.Ohms(celsius, r0), r0, out var back));
            Assert.Equal(celsius, back, tolerance: 1e-10);
        });
    }

    [Fact]
    public void The_two_branches_meet_at_zero_with_one_slope()
    {
        Assert.Equal(100, PlatinumThermometer.Ohms(0, 100));
        Assert.True(PlatinumThermometer.TryCelsius(100, 100, out var zero));
        Assert.Equal(0, zero, tolerance: 1e-13);
        Assert.Equal(PlatinumThermometer.OhmsPerCelsius(1e-9, 100), PlatinumThermometer.OhmsPerCelsius(-1e-9, 100), tolerance: 1e-12);
        Gen.Double[-1e-3, 1e-3].Sample(celsius => PlatinumThermometer.TryCelsius(PlatinumThermometer.Ohms(celsius, 100), 100, out var back) && Math.Abs(back - celsius) < 1e-11);
    }

    [Fact]
    public void The_slope_is_the_derivative()
    {
        Gen.Double[-199.9, 849.9].Sample(celsius =>
        {
            var slope = (PlatinumThermometer.Ohms(celsius + 0.01, 100) - PlatinumThermometer.Ohms(celsius - 0.01, 100)) / 0.02;
            Assert.Equal(slope, PlatinumThermometer.OhmsPerCelsius(celsius, 100), tolerance: 1e-8);
        });
    }

    [Theory]
    // 18.5201 and 390.4811 ohm are the ends; half a step of print beyond them is still the end, more is not.
    [InlineData(18.516, -200)]
    [InlineData(18.52, -200)]
    [InlineData(390.48, 849.996)]
    [InlineData(390.485, 850)]
    public void What_print_rounded_off_beyond_the_ends_is_the_end(double ohms, double expected)
    {
        Assert.True(PlatinumThermometer.TryCelsius(ohms, 100, out var celsius));
        Assert.Equal(expected, celsius, tolerance: 0.001);
        Assert.InRange(celsius, -200, 850);
    }

    [Theory]
    [InlineData(18.514)]
    [InlineData(390.487)]
    [InlineData(0)]
    [InlineData(-100)]
    [InlineData(double.PositiveInfinity)]
    [InlineData(double.NaN)]
    public void A_resistance_outside_the_function_has_no_temperature(double ohms)
    {
        Assert.False(PlatinumThermometer.TryCelsius(ohms, 100, out var celsius));
        Assert.True(double.IsNaN(celsius));
    }

    [Theory]
    [InlineData(-200.001)]
    [InlineData(850.001)]
    [InlineData(double.NaN)]
    public void A_temperature_outside_the_function_has_no_resistance(double celsius)
    {
        Assert.True(double.IsNaN(PlatinumThermometer.Ohms(celsius, 100)));
        Assert.True(double.IsNaN(PlatinumThermometer.OhmsPerCelsius(celsius, 100)));
    }

    [Fact]
    public void Many_at_a_time_give_what_one_at_a_time_gives()
    {
        var resistances = Gen.Frequency((8, Gen.Double[15, 400]), (1, Gen.Double[99.9, 100.1]), (1, Gen.Const(double.NaN)), (1, Gen.Const(double.PositiveInfinity)));
        resistances.Array[0, 40].Sample(ohms =>
        {
            var many = new double[ohms.Length];
            PlatinumThermometer.ToCelsius(ohms, 100, many);
            for (var i = 0; i < ohms.Length; i++)
            {
                _ = PlatinumThermometer.TryCelsius(ohms[i], 100, out var one);
                Assert.Equal(one, many[i], tolerance: 1e-11);
            }

            PlatinumThermometer.ToCelsius(ohms, 100, ohms);
            Assert.Equal(many, ohms);
        });
        Assert.Throws<ArgumentOutOfRangeException>(() => PlatinumThermometer.ToCelsius(new double[3], 100, new double[2]));
    }

    [Fact]
    public void Two_leads_are_taken_off_three_leave_their_difference_and_four_nothing()
    {
        // 230 °C: 186.84 ohm and 0.364 ohm/°C; 0.2 ohm of leads read as 0.55 °C, 10 mohm of difference as 0.027 °C.
        Assert.Equal(186.84, PlatinumThermometer.WithoutLeads(187.04, new(100, 2, 0.2, null)), tolerance: 1e-9);
        Assert.Equal(186.84, PlatinumThermometer.WithoutLeads(186.85, new(100, 3, 0.01, null)), tolerance: 1e-9);
        Assert.Equal(186.84, PlatinumThermometer.WithoutLeads(186.83, new(100, 3, -0.01, null)), tolerance: 1e-9);
        Assert.Equal(186.84, PlatinumThermometer.WithoutLeads(186.84, FourWires));
        Assert.Equal(186.84, PlatinumThermometer.WithoutLeads(186.84, new(100, 4, 0.2, null)));
        Assert.Equal(186.84, PlatinumThermometer.WithoutLeads(186.84, new(100, 2, null, null)));
        Assert.True(PlatinumThermometer.TryCelsius(187.04, 100, out var with));
        Assert.True(PlatinumThermometer.TryCelsius(186.84, 100, out var without));
        Assert.Equal(0.55, with - without, tolerance: 0.01);
    }

    [Fact]
    public void A_better_class_is_narrower_and_holds_over_no_wider_a_range()
    {
        var classes = Enum.GetValues<PlatinumTolerance>();
        foreach (var element in Enum.GetValues<PlatinumElement>())
        {
            foreach (var (better, worse) in classes.Zip(classes.Skip(1)))
            {
                var (from, to) = PlatinumThermometer.ValidRange(better, element);
                Assert.True(PlatinumThermometer.ToleranceCelsius(better, from) < PlatinumThermometer.ToleranceCelsius(worse, from));
                Assert.True(from >= PlatinumThermometer.ValidRange(worse, element).FromCelsius && to <= PlatinumThermometer.ValidRange(worse, element).ToCelsius);
            }
        }

        // IEC 60751:2008, table 3: values from memory.
        Assert.Equal((-100, 450), PlatinumThermometer.ValidRange(PlatinumTolerance.A, PlatinumElement.WireWound));
        Assert.Equal((-30, 300), PlatinumThermometer.ValidRange(PlatinumTolerance.A, PlatinumElement.Film));
    }
}
