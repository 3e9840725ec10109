using Acquire.Core.Thermometry;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Thermometry;

public sealed class ThermocoupleSpansTests
{
    public static TheoryData<ThermocoupleType> Letter => Letters.All;

    // Readings as they come, and whatever else can stand in a span.
    private static readonly Gen<double> AnyNumber = Gen.Frequency(
        (20, Gen.Double[-12, 80]), (20, Gen.Double[-0.3, 14]), (3, Gen.Double[-300, 1900]), (1, Gen.Double),
        (1, Traces.Pick.From(double.NaN, double.PositiveInfinity, double.NegativeInfinity, 0.0, -0.0, double.Epsilon, 1e300)));

    private static readonly Gen<(ThermocoupleType Type, double[] Numbers, double[] Junctions)> AnySpans =
        from type in Gen.Enum<ThermocoupleType>()
        from length in Gen.Int[0, 600]
        from numbers in AnyNumber.Array[length]
        from junctions in Gen.Frequency((20, Gen.Double[0, 60]), (1, AnyNumber)).Array[length]
        select (type, numbers, junctions);

    [Fact]
    public void A_span_gives_the_bits_of_single_conversions()
    {
        AnySpans.Sample(it =>
        {
            var thermocouple = Thermocouple.Of(it.Type);
            var celsius = new double[it.Numbers.Length];
            thermocouple.ToCelsius(it.Numbers, celsius);

            AssertBits(Array.ConvertAll(it.Numbers, emf => thermocouple.TryCelsius(emf, out var one) ? one : double.NaN), celsius);
        });
    }

    [Fact]
    public void A_span_with_reference_junctions_gives_the_bits_of_single_conversions()
    {
        AnySpans.Sample(it =>
        {
            var thermocouple = Thermocouple.Of(it.Type);
            var celsius = new double[it.Numbers.Length];
            thermocouple.ToCelsius(it.Numbers, it.Junctions, celsius);

            AssertBits([.. it.Numbers.Zip(it.Junctions, (emf, junction) => thermocouple.TryCelsius(emf, junction, out var one) ? one : double.NaN)], celsius);
        });
    }

    [Fact]
    public void A_span_of_temperatures_gives_the_bits_of_single_emfs()
    {
        Gen.Select(Gen.Enum<ThermocoupleType>(), Gen.Frequency((20, Gen.Double[-280, 1900]), (1, AnyNumber)).Array[0, 600]).Sample((type, celsius) =>
        {
            var thermocouple = Thermocouple.Of(type);
            var emfs = new double[celsius.Length];
            thermocouple.ToEmfMillivolts(celsius, emfs);

            AssertBits(Array.ConvertAll(celsius, one => one >= thermocouple.LowestCelsius && one <= thermocouple.HighestCelsius ? thermocouple.EmfMillivolts(one) : double.NaN), emfs);
        });
    }

    [Fact]
    public void The_result_may_take_the_place_of_what_it_is_made_from()
    {
        AnySpans.Sample(it =>
        {
            var thermocouple = Thermocouple.Of(it.Type);
            var (apart, apartCompensated) = (new double[it.Numbers.Length], new double[it.Numbers.Length]);
            thermocouple.ToCelsius(it.Numbers, apart);
            thermocouple.ToCelsius(it.Numbers, it.Junctions, apartCompensated);
            var (inPlace, inEmfs, inJunctions) = ((double[])it.Numbers.Clone(), (double[])it.Numbers.Clone(), (double[])it.Junctions.Clone());
            thermocouple.ToCelsius(inPlace, inPlace);
            thermocouple.ToCelsius(inEmfs, it.Junctions, inEmfs);
            thermocouple.ToCelsius(it.Numbers, inJunctions, inJunctions);

            AssertBits(apart, inPlace);
            AssertBits(apartCompensated, inEmfs);
            AssertBits(apartCompensated, inJunctions);
        });
    }

    [Theory]
    [MemberData(nameof(Letter))]
    public void A_ramp_goes_there_and_back(ThermocoupleType type)
    {
        var thermocouple = Thermocouple.Of(type);
        const int points = 100_003;
        var span = thermocouple.HighestCelsius - thermocouple.LowestInvertibleCelsius;
        double[] ramp = [.. Enumerable.Range(0, points).Select(i => Math.Min(thermocouple.LowestInvertibleCelsius + (span * i / (points - 1)), thermocouple.HighestCelsius))];
        var back = new double[points];
        thermocouple.ToEmfMillivolts(ramp, back);
        thermocouple.ToCelsius(back, back);

        for (var i = 0; i < points; i++)
        {
            Assert.True(Math.Abs(back[i] - ramp[i]) <= 1e-7, $"{ramp[i]:R} °C came back as {back[i]:R} °C");
        }
    }

    [Fact]
    public void Spans_of_different_length_are_a_mistake_of_the_caller()
    {
        var thermocouple = Thermocouple.Of(ThermocoupleType.K);

        Assert.Throws<ArgumentException>("celsius.Length", () => thermocouple.ToCelsius(new double[4], new double[5]));
        Assert.Throws<ArgumentException>("junctionCelsius.Length", () => thermocouple.ToCelsius(new double[4], new double[3], new double[4]));
        Assert.Throws<ArgumentException>("celsius.Length", () => thermocouple.ToCelsius(new double[4], new double[4], new double[3]));
        Assert.Throws<ArgumentException>("emfMillivolts.Length", () => thermocouple.ToEmfMillivolts(new double[4], new double[3]));
    }

    [Fact]
    public void Nothing_is_allocated()
    {
        var thermocouple = Thermocouple.Of(ThermocoupleType.K);
        var (emfs, junctions, celsius) = (new double[1000], new double[1000], new double[1000]);
        for (var i = 0; i < emfs.Length; i++)
        {
            (emfs[i], junctions[i]) = ((i * 0.065) - 6.5, 20 + (i * 0.01));
        }

        Convert();

        Assert.Equal(0, Allocations.LeastBytes(() => Convert));

        void Convert()
        {
            thermocouple.ToCelsius(emfs, celsius);
            thermocouple.ToCelsius(emfs, junctions, celsius);
            thermocouple.ToEmfMillivolts(junctions, celsius);
            foreach (var emf in emfs)
            {
                _ = thermocouple.TryCelsius(emf, out _);
                _ = thermocouple.TryCelsius(emf, 23.5, out _);
            }
        }
    }

    private static void AssertBits(double[] expected, double[] actual)
    {
        for (var i = 0; i < expected.Length; i++)
        {
            Assert.True(expected[i].Equals(actual[i]) && (double.IsNaN(actual[i]) || double.IsNegative(expected[i]) == double.IsNegative(actual[i])), $"[{i}]: {expected[i]:R} and {actual[i]:R}");
        }
    }
}
