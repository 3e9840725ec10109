using Acquire.Core.Thermometry;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Thermometry;

public sealed class ThermocoupleRoundTripTests
{
    public static TheoryData<ThermocoupleType> Letter => Letters.All;

    [Theory]
    [MemberData(nameof(Letter))]
    public void Temperature_to_emf_and_back_is_exact_over_the_whole_range(ThermocoupleType type)
    {
        // A hundred times better than the 1e-6 °C that we ask for, wherever the emf itself is known that well: at -270 °C type T changes by 1 µV/°C,
        // and its polynomial of degree 14 is computed to about 3e-11 mV.
        var thermocouple = Thermocouple.Of(type);
        var span = thermocouple.HighestCelsius - thermocouple.LowestInvertibleCelsius;
        const int points = 200_000;
        for (var i = 0; i <= points; i++)
        {
            var celsius = Math.Min(thermocouple.LowestInvertibleCelsius + (span * i / points), thermocouple.HighestCelsius);
            if (!thermocouple.TryCelsius(thermocouple.EmfMillivolts(celsius), out var back) || !(Math.Abs(back - celsius) <= (celsius < -200 ? 1e-7 : 1.1e-8)))
            {
                Assert.Fail($"{celsius:R} °C came back as {back:R} °C");
            }
        }
    }

    [Fact]
    public void Emf_to_temperature_and_back_is_exact_anywhere()
    {
        Letters.AnywhereInRange.Sample(it =>
        {
            var emf = it.Thermocouple.EmfMillivolts(it.Celsius);
            Assert.True(it.Thermocouple.TryCelsius(emf, out var celsius));
            Assert.InRange(celsius, it.Thermocouple.LowestInvertibleCelsius, it.Thermocouple.HighestCelsius);
            Assert.Equal(emf, it.Thermocouple.EmfMillivolts(celsius), tolerance: 1e-9);
        }, iter: 5000);
    }

    [Fact]
    public void The_hotter_gives_the_greater_emf_and_the_greater_emf_the_hotter()
    {
        Gen.Select(Letters.AnywhereInRange, Gen.Double[1e-6, 10]).Sample((it, rise) =>
        {
            var hotter = Math.Min(it.Celsius + rise, it.Thermocouple.HighestCelsius);
            if (hotter - it.Celsius < 1e-6)
            {
                return;
            }

            // A millionth of a degree apart they are told from each other.
            var (emf, greater) = (it.Thermocouple.EmfMillivolts(it.Celsius), it.Thermocouple.EmfMillivolts(hotter));
            Assert.True(greater > emf);
            Assert.True(it.Thermocouple.TryCelsius(emf, out var first) && it.Thermocouple.TryCelsius(greater, out var second) && second > first);
            Assert.True(it.Thermocouple.SensitivityMicrovoltsPerCelsius(it.Celsius) > 0);
        }, iter: 5000);
    }

    [Fact]
    public void The_difference_between_junctions_comes_back_with_any_junction()
    {
        Gen.Select(Letters.AnywhereInRange, Gen.Double[0, 60]).Sample((it, junction) =>
        {
            var measured = it.Thermocouple.EmfMillivolts(it.Celsius) - it.Thermocouple.EmfMillivolts(junction);

            Assert.True(it.Thermocouple.TryCelsius(measured, junction, out var celsius));
            // The difference rounds in its last bit; at -270 °C a bit of emf is worth more °C.
            Assert.Equal(it.Celsius, celsius, tolerance: it.Celsius < -200 ? 1e-7 : 1.1e-8);
        }, iter: 5000);
    }

    [Theory]
    [MemberData(nameof(Letter))]
    public void Nearly_the_whole_range_is_prepared_and_the_rest_is_found_all_the_same(ThermocoupleType type) =>
        Assert.InRange(Thermocouple.Of(type).PreparedShare, 0.97, 1);

    [Fact]
    public void Random_emfs_far_and_wide_are_either_within_the_range_or_refused()
    {
        Gen.Select(Gen.Enum<ThermocoupleType>(), Gen.Double).Sample((type, emf) =>
        {
            var thermocouple = Thermocouple.Of(type);
            var within = emf >= thermocouple.LowestEmfMillivolts - Thermocouple.PrintedHalfDigitMillivolts && emf <= thermocouple.HighestEmfMillivolts + Thermocouple.PrintedHalfDigitMillivolts;

            Assert.Equal(within, thermocouple.TryCelsius(emf, out var celsius));
            Assert.Equal(!within, double.IsNaN(celsius));
        }, iter: 5000);
    }
}
