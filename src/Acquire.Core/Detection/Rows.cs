using System.Numerics;
using System.Runtime.InteropServices;

namespace Acquire.Core.Detection;

/// <summary>What is done to long rows of readings, several at once.</summary>
internal static class Rows
{
    /// <summary>Differences of two rows.</summary>
    /// <param name="later">From these.</param>
    /// <param name="earlier">These are taken; as many.</param>
    /// <param name="differences">Receives them; at least as many.</param>
    public static void Differ(ReadOnlySpan<double> later, ReadOnlySpan<double> earlier, Span<double> differences)
    {
        var wideLater = MemoryMarshal.Cast<double, Vector<double>>(later);
        var wideEarlier = MemoryMarshal.Cast<double, Vector<double>>(earlier);
        var wide = MemoryMarshal.Cast<double, Vector<double>>(differences);
        for (var i = 0; i < wideLater.Length; i++)
        {
            wide[i] = wideLater[i] - wideEarlier[i];
        }

        for (var i = wideLater.Length * Vector<double>.Count; i < later.Length; i++)
        {
            differences[i] = later[i] - earlier[i];
        }
    }

    /// <summary>Takes a line off a row.</summary>
    /// <param name="times">Times of the values, s; as many.</param>
    /// <param name="level">Level of the line at the time that follows.</param>
    /// <param name="seconds">That time, s.</param>
    /// <param name="slope">Slope, unit per s.</param>
    /// <param name="values">The row.</param>
    public static void TakeOff(ReadOnlySpan<double> times, double level, double seconds, double slope, Span<double> values)
    {
        var wideTimes = MemoryMarshal.Cast<double, Vector<double>>(times);
        var wide = MemoryMarshal.Cast<double, Vector<double>>(values);
        var (wideLevel, wideSeconds, wideSlope) = (new Vector<double>(level), new Vector<double>(seconds), new Vector<double>(slope));
        for (var i = 0; i < wide.Length; i++)
        {
            wide[i] -= wideLevel + (wideSlope * (wideTimes[i] - wideSeconds));
        }

        for (var i = wide.Length * Vector<double>.Count; i < values.Length; i++)
        {
            values[i] -= level + (slope * (times[i] - seconds));
        }
    }

    /// <summary>Takes a level off a row.</summary>
    /// <param name="level">The level, unit of the values.</param>
    /// <param name="values">The row.</param>
    public static void TakeOff(double level, Span<double> values)
    {
        var wide = MemoryMarshal.Cast<double, Vector<double>>(values);
        var wideLevel = new Vector<double>(level);
        foreach (ref var four in wide)
        {
            four -= wideLevel;
        }

        foreach (ref var value in values[(wide.Length * Vector<double>.Count)..])
        {
            value -= level;
        }
    }
}
