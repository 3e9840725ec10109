using System.Buffers;

namespace Acquire.Core.Detection;

/// <summary>Detector readings of one stretch of time, copied out of the history; lives no longer than the judgement that asks for it.</summary>
/// <param name="times">s, ascending.</param>
/// <param name="values">Detector's own unit; as many as times.</param>
public readonly ref struct DetectorStretch(ReadOnlySpan<double> times, ReadOnlySpan<double> values)
{
    /// <summary>Above this spacing a blink may fall on a single reading, so a single reading can no longer be called a spike, s.</summary>
    public const double LongestSpacingForSpikesSeconds = 0.05;

    // What lasts no longer is a spike, s.
    private const double SpikeSeconds = 0.04;

    /// <summary>s, ascending.</summary>
    public ReadOnlySpan<double> Times { get; } = times;

    /// <summary>Detector's own unit; as many as times.</summary>
    public ReadOnlySpan<double> Values { get; init; } = values;

    /// <summary>Median time between readings, s; 0 with fewer than two.</summary>
    public double MedianSpacingSeconds()
    {
        if (Times.Length < 2)
        {
            return 0;
        }

        var room = ArrayPool<double>.Shared.Rent(Times.Length - 1);
        var gaps = room.AsSpan(0, Times.Length - 1);
        for (var i = 0; i < gaps.Length; i++)
        {
            gaps[i] = Times[i + 1] - Times[i];
        }

        var median = Robust.MedianInPlace(gaps);
        ArrayPool<double>.Shared.Return(room);
        return median;
    }

    /// <summary>Replaces readings that stand more than five noise deviations out of the median of those up to 40 ms before and after.</summary>
    /// <remarks>A flash lasts at least some 60 ms and stays; up to 40 ms are a spike. At spacings above 20 ms it is single readings, above 50 ms none.</remarks>
    public DetectorStretch WithoutSpikes(double noise)
    {
        var spacing = MedianSpacingSeconds();
        if (Times.Length < 3 || spacing > LongestSpacingForSpikesSeconds)
        {
            return this;
        }

        var half = Math.Max(1, (int)Math.Round(SpikeSeconds / Math.Max(spacing, 1e-4)));
        var cleaned = WindowRoom.Take(Values.Length);
        Values.CopyTo(cleaned);
        var around = WindowRoom.Take((2 * half) + 1);
        for (var i = 0; i < Values.Length; i++)
        {
            // What is near its neighbour is no spike, unless that was one.
            if (i > 0 && Math.Abs(Values[i] - cleaned[i - 1]) <= 2.5 * noise)
            {
                continue;
            }

            var first = Math.Clamp(i - half, 0, Math.Max(0, Values.Length - around.Length));
            var n = Math.Min(around.Length, Values.Length);
            Values.Slice(first, n).CopyTo(around);
            var middle = Robust.MedianInPlace(around[..n]);
            if (Math.Abs(Values[i] - middle) > 5 * noise)
            {
                cleaned[i] = middle;
            }
        }

        return this with { Values = cleaned };
    }

    /// <summary>Each reading less a level, detector's unit.</summary>
    internal DetectorStretch Above(double level)
    {
        var heights = WindowRoom.Take(Values.Length);
        for (var i = 0; i < heights.Length; i++)
        {
            heights[i] = Values[i] - level;
        }

        return this with { Values = heights };
    }

    /// <summary>Each reading less a course, where there is one.</summary>
    internal DetectorStretch Above(PassCourse? course)
    {
        var heights = WindowRoom.Take(Values.Length);
        for (var i = 0; i < heights.Length; i++)
        {
            heights[i] = Values[i] - (course?.At(Times[i]) ?? 0);
        }

        return this with { Values = heights };
    }

    /// <summary>Each reading replaced by the mean of those within half a width of it.</summary>
    public DetectorStretch Smoothed(double widthSeconds)
    {
        var smooth = WindowRoom.Take(Values.Length);
        Smooth(Times, Values, widthSeconds, smooth);
        return this with { Values = smooth };
    }

    /// <summary>The same, into memory that is at hand.</summary>
    internal static void Smooth(ReadOnlySpan<double> times, ReadOnlySpan<double> values, double widthSeconds, Span<double> smooth)
    {
        var half = (widthSeconds / 2) + DetectorHistory.RoundingSeconds;
        int first = 0, end = 0;
        double sum = 0;
        for (var i = 0; i < values.Length; i++)
        {
            for (; end < values.Length && times[end] <= times[i] + half; end++)
            {
                sum += values[end];
            }

            for (; times[first] < times[i] - half; first++)
            {
                sum -= values[first];
            }

            smooth[i] = sum / (end - first);
        }
    }

    /// <summary>The part between two times.</summary>
    public DetectorStretch Between(double from, double to)
    {
        var first = 0;
        while (first < Times.Length && !(Times[first] >= from))
        {
            first++;
        }

        var end = Times.Length;
        while (end > first && !(Times[end - 1] <= to))
        {
            end--;
        }

        return new(Times[first..end], Values[first..end]);
    }

    /// <summary>Highest value, detector's unit; negative infinity where there is none.</summary>
    internal double Highest()
    {
        var highest = double.NegativeInfinity;
        foreach (var value in Values)
        {
            highest = Math.Max(highest, value);
        }

        return highest;
    }

    /// <summary>Lowest value, detector's unit; positive infinity where there is none.</summary>
    internal double Lowest()
    {
        var lowest = double.PositiveInfinity;
        foreach (var value in Values)
        {
            lowest = Math.Min(lowest, value);
        }

        return lowest;
    }
}
