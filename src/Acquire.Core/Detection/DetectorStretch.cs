using System.Buffers;

namespace Acquire.Core.Detection;

/// <summary>Detector readings of one stretch of time, copied out of the history.</summary>
/// <param name="Times">s, ascending.</param>
/// <param name="Values">Detector's own unit; as many as times.</param>
public sealed record DetectorStretch(double[] Times, double[] Values)
{
    /// <summary>Above this spacing a blink may fall on a single reading, so a single reading can no longer be called a spike, s.</summary>
    public const double LongestSpacingForSpikesSeconds = 0.05;

    // What lasts no longer is a spike, s.
    private const double SpikeSeconds = 0.04;

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
        var cleaned = (double[])Values.Clone();
        var around = new double[(2 * half) + 1];
        for (var i = 0; i < Values.Length; i++)
        {
            // What is near its neighbour is no spike, unless that was one.
            if (i > 0 && Math.Abs(Values[i] - cleaned[i - 1]) <= 2.5 * noise)
            {
                continue;
            }

            var first = Math.Clamp(i - half, 0, Math.Max(0, Values.Length - around.Length));
            var n = Math.Min(around.Length, Values.Length);
            Values.AsSpan(first, n).CopyTo(around);
            var middle = Robust.MedianInPlace(around.AsSpan(0, n));
            if (Math.Abs(Values[i] - middle) > 5 * noise)
            {
                cleaned[i] = middle;
            }
        }

        return this with { Values = cleaned };
    }

    /// <summary>Each reading replaced by the mean of those within half a width of it.</summary>
    public DetectorStretch Smoothed(double widthSeconds)
    {
        var smooth = new double[Values.Length];
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
        var first = Array.FindIndex(Times, time => time >= from);
        if (first < 0)
        {
            return new([], []);
        }

        var end = Array.FindLastIndex(Times, time => time <= to) + 1;
        return end <= first ? new([], []) : new(Times[first..end], Values[first..end]);
    }
}
