using System.Buffers;
using System.Runtime.InteropServices;

namespace Acquire.Service.Archive.Rows;

/// <summary>One column of doubles as eight planes of bytes that compress well, exact to the last bit.</summary>
/// <remarks>
/// Instruments send decimals: where every value of the column is a whole number of 10^-places, the whole numbers are kept,
/// else the bit patterns. Either way: difference to the value before, sign folded into the lowest bit, bytes of one weight side by side.
/// The decimal form is used only after every value was converted back and compared bit for bit.
/// </remarks>
internal static class NumberColumn
{
    /// <summary>The column keeps bit patterns; a kind above it keeps decimals with kind - 1 places.</summary>
    public const byte Bits = 0;

    /// <summary>The highest kind: seven places, the resolution of the arrival clock.</summary>
    public const byte HighestKind = 8;

    /// <summary>Bytes a value takes before compression.</summary>
    public const int BytesPerValue = 8;

    private const double LargestWhole = 1L << 53;
    private static readonly double[] Powers = [1, 10, 100, 1e3, 1e4, 1e5, 1e6, 1e7];

    /// <summary>Writes the column to its planes and tells its kind.</summary>
    public static byte Pack(ReadOnlySpan<double> values, Span<byte> planes)
    {
        var numbers = ArrayPool<long>.Shared.Rent(values.Length);
        try
        {
            var kind = ToNumbers(values, numbers);
            Spread(numbers.AsSpan(0, values.Length), planes);
            return kind;
        }
        finally
        {
            ArrayPool<long>.Shared.Return(numbers);
        }
    }

    /// <summary>Reads a column back. Any content of the planes gives some value; the caller has checked the kind.</summary>
    public static void Unpack(byte kind, ReadOnlySpan<byte> planes, Span<double> values)
    {
        var numbers = MemoryMarshal.Cast<double, ulong>(values);
        Gather(planes, numbers);
        var previous = 0L;
        var power = kind == Bits ? 1 : Powers[kind - 1];
        for (var i = 0; i < values.Length; i++)
        {
            var folded = numbers[i];
            previous = unchecked(previous + ((long)(folded >> 1) ^ -(long)(folded & 1)));
            values[i] = kind == Bits ? BitConverter.Int64BitsToDouble(previous) : previous / power;
        }
    }

    // Neighbours differ little: behind the first value most planes of higher weight hold nothing, which is seen at a glance.
    private static void Gather(ReadOnlySpan<byte> planes, Span<ulong> numbers)
    {
        numbers.Clear();
        for (var plane = 0; plane < BytesPerValue; plane++)
        {
            var bytes = planes.Slice(plane * numbers.Length, numbers.Length);
            var shift = 8 * plane;
            numbers[0] |= (ulong)bytes[0] << shift;
            if (bytes[1..].IndexOfAnyExcept((byte)0) < 0)
            {
                continue;
            }

            for (var i = 1; i < bytes.Length && i < numbers.Length; i++)
            {
                numbers[i] |= (ulong)bytes[i] << shift;
            }
        }
    }

    private static byte ToNumbers(ReadOnlySpan<double> values, long[] numbers)
    {
        var places = 0;
        foreach (var value in values)
        {
            while (!IsDecimal(value, places, out _))
            {
                if (++places == Powers.Length)
                {
                    return ToBits(values, numbers);
                }
            }
        }

        for (var i = 0; i < values.Length; i++)
        {
            if (!IsDecimal(values[i], places, out numbers[i]))
            {
                return ToBits(values, numbers);
            }
        }

        return (byte)(places + 1);
    }

    private static byte ToBits(ReadOnlySpan<double> values, long[] numbers)
    {
        for (var i = 0; i < values.Length; i++)
        {
            numbers[i] = BitConverter.DoubleToInt64Bits(values[i]);
        }

        return Bits;
    }

    // NaN, infinities and -0.0 fail one of the two comparisons and so go the way of bit patterns.
    private static bool IsDecimal(double value, int places, out long whole)
    {
        var scaled = Math.Round(value * Powers[places]);
        whole = 0;
        if (!(Math.Abs(scaled) <= LargestWhole))
        {
            return false;
        }

        whole = (long)scaled;
        return BitConverter.DoubleToInt64Bits(whole / Powers[places]) == BitConverter.DoubleToInt64Bits(value);
    }

    private static void Spread(ReadOnlySpan<long> numbers, Span<byte> planes)
    {
        var previous = 0L;
        for (var i = 0; i < numbers.Length; i++)
        {
            var difference = unchecked(numbers[i] - previous);
            previous = numbers[i];
            var folded = unchecked((ulong)((difference << 1) ^ (difference >> 63)));
            for (var plane = 0; plane < BytesPerValue; plane++)
            {
                planes[(plane * numbers.Length) + i] = unchecked((byte)(folded >> (8 * plane)));
            }
        }
    }
}
