using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Acquire.Core.Thermometry;

/// <content>Whole spans of readings, four at a time where the machine can, with the bits of single conversions and nothing allocated.</content>
public sealed partial class Thermocouple
{
    // Emfs of reference junctions wait here, on the stack, for those measured.
    private const int Block = 256;

    /// <summary>Temperatures, °C, from emfs with the reference junction at 0 °C, mV; not a number where there is none. The result may go into the same span.</summary>
    /// <exception cref="ArgumentException">The spans differ in length.</exception>
    public void ToCelsius(ReadOnlySpan<double> emfMillivolts, Span<double> celsius)
    {
        Same(emfMillivolts.Length, celsius.Length);
        var emfsByFour = ByFour(emfMillivolts);
        var celsiusByFour = MemoryMarshal.Cast<double, Vector256<double>>(celsius);
        var (lowest, highest) = (Vector256.Create(LowestEmfMillivolts), Vector256.Create(HighestEmfMillivolts));
        for (var i = 0; i < emfsByFour.Length; i++)
        {
            var emfs = emfsByFour[i];
            if (Vector256.GreaterThanOrEqualAll(emfs, lowest) && Vector256.LessThanOrEqualAll(emfs, highest))
            {
                var four = _inverse.Celsius(emfs);
                if (Vector256.EqualsAll(four, four))
                {
                    celsiusByFour[i] = four;
                    continue;
                }
            }

            // One is outside the range, not a number, or where the inverse is not prepared.
            OneByOne(emfMillivolts.Slice(i * Vector256<double>.Count, Vector256<double>.Count), celsius[(i * Vector256<double>.Count)..]);
        }

        var done = emfsByFour.Length * Vector256<double>.Count;
        OneByOne(emfMillivolts[done..], celsius[done..]);
    }

    /// <summary>Temperatures, °C, from emfs as measured, mV, and temperatures of the reference junction, °C; not a number where there is none. The result may go into either span.</summary>
    /// <exception cref="ArgumentException">The spans differ in length.</exception>
    public void ToCelsius(ReadOnlySpan<double> emfMillivolts, ReadOnlySpan<double> junctionCelsius, Span<double> celsius)
    {
        Same(emfMillivolts.Length, junctionCelsius.Length);
        Same(emfMillivolts.Length, celsius.Length);
        Span<double> block = stackalloc double[Block];
        for (var at = 0; at < emfMillivolts.Length; at += Block)
        {
            var emfs = emfMillivolts.Slice(at, Math.Min(Block, emfMillivolts.Length - at));
            var sums = block[..emfs.Length];
            ToEmfMillivolts(junctionCelsius.Slice(at, emfs.Length), sums);
            for (var i = 0; i < emfs.Length; i++)
            {
                sums[i] += emfs[i];
            }

            ToCelsius(sums, celsius.Slice(at, emfs.Length));
        }
    }

    /// <summary>Emfs with the reference junction at 0 °C, mV, from temperatures, °C; not a number outside the range of the function. The result may go into the same span.</summary>
    /// <exception cref="ArgumentException">The spans differ in length.</exception>
    public void ToEmfMillivolts(ReadOnlySpan<double> celsius, Span<double> emfMillivolts)
    {
        Same(celsius.Length, emfMillivolts.Length);
        var celsiusByFour = ByFour(celsius);
        var emfsByFour = MemoryMarshal.Cast<double, Vector256<double>>(emfMillivolts);
        var (lowest, highest, none) = (Vector256.Create(LowestCelsius), Vector256.Create(HighestCelsius), Vector256.Create(double.NaN));
        for (var i = 0; i < celsiusByFour.Length; i++)
        {
            var four = celsiusByFour[i];
            var inside = Vector256.GreaterThanOrEqual(four, lowest) & Vector256.LessThanOrEqual(four, highest);
            // In place of what is outside, a temperature that no step of the function minds.
            emfsByFour[i] = Vector256.ConditionalSelect(inside, _function.Emf(Vector256.ConditionalSelect(inside, four, lowest)), none);
        }

        for (var i = celsiusByFour.Length * Vector256<double>.Count; i < celsius.Length; i++)
        {
            var one = celsius[i];
            emfMillivolts[i] = one >= LowestCelsius && one <= HighestCelsius ? _function.At(one).Emf(one) : double.NaN;
        }
    }

    // Where vectors of four are not in the hardware, the runtime makes them of two halves; where those are not either, everything goes one by one.
    private static ReadOnlySpan<Vector256<double>> ByFour(ReadOnlySpan<double> numbers) =>
        Vector128.IsHardwareAccelerated ? MemoryMarshal.Cast<double, Vector256<double>>(numbers) : [];

    private static void Same(int expected, int actual, [CallerArgumentExpression(nameof(actual))] string name = "")
    {
        if (expected != actual)
        {
            throw new ArgumentException($"The spans differ in length: {expected} and {actual}.", name);
        }
    }

    private void OneByOne(ReadOnlySpan<double> emfMillivolts, Span<double> celsius)
    {
        for (var i = 0; i < emfMillivolts.Length; i++)
        {
            _ = TryCelsius(emfMillivolts[i], out celsius[i]);
        }
    }
}
