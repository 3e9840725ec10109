namespace Acquire.Core.Detection;

/// <summary>Detector readings of one stretch of time, copied out of the history.</summary>
/// <param name="Times">s, ascending.</param>
/// <param name="Values">Detector's own unit; as many as times.</param>
public sealed record DetectorStretch(double[] Times, double[] Values)
{
    /// <summary>Above this spacing a blink may fall on a single reading, so a single reading can no longer be called a spike, s.</summary>
    public const double LongestSpacingForSpikesSeconds = 0.05;

    /// <summary>Median time between readings, s; 0 with fewer than two.</summary>
    public double MedianSpacingSeconds()
    {
        if (Times.Length < 2)
        {
            return 0;
        }

        var gaps = new double[Times.Length - 1];
        for (var i = 0; i < gaps.Length; i++)
        {
            gaps[i] = Times[i + 1] - Times[i];
        }

        return Robust.Median(gaps);
    }

    /// <summary>Replaces single readings that stand out of both their neighbours by more than five noise deviations.</summary>
    /// <remarks>A flash lasts at least a tenth of a second, so below 50 ms spacing it covers two readings or more and stays.</remarks>
    public DetectorStretch WithoutSpikes(double noise)
    {
        if (Times.Length < 3 || MedianSpacingSeconds() > LongestSpacingForSpikesSeconds)
        {
            return this;
        }

        var half = Math.Max(1, (int)Math.Round(0.04 / Math.Max(MedianSpacingSeconds(), 1e-4)));
        var cleaned = (double[])Values.Clone();
        var around = new double[(2 * half) + 1];
        for (var i = 0; i < Values.Length; i++)
        {
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

    /// <summary>Averages readings into bins so that at most <paramref name="most"/> remain and none is shorter than 10 ms.</summary>
    /// <returns>The averaged stretch and, for each of its points, how many readings it stands for.</returns>
    public (DetectorStretch Stretch, int[] Weights) Binned(int most)
    {
        if (Times.Length == 0)
        {
            return (this, []);
        }

        var width = Math.Max(0.01, (Times[^1] - Times[0]) / most);
        if (MedianSpacingSeconds() >= width)
        {
            return (this, Enumerable.Repeat(1, Times.Length).ToArray());
        }

        var times = new List<double>(most + 1);
        var values = new List<double>(most + 1);
        var weights = new List<int>(most + 1);
        for (var i = 0; i < Times.Length;)
        {
            // A hair less than the width, so that evenly spaced readings do not fall to either side by rounding.
            var end = Times[i] + (width * (1 - 1e-6));
            double timeSum = 0, valueSum = 0;
            var n = 0;
            for (; i < Times.Length && Times[i] < end; i++, n++)
            {
                timeSum += Times[i];
                valueSum += Values[i];
            }

            times.Add(timeSum / n);
            values.Add(valueSum / n);
            weights.Add(n);
        }

        return (new DetectorStretch([.. times], [.. values]), [.. weights]);
    }
}
