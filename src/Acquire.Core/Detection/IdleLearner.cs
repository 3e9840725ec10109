namespace Acquire.Core.Detection;

/// <summary>Learns what a quiet detector does, once a second from thousands of readings; its memory is kept from one time to the next.</summary>
internal sealed class IdleLearner
{
    private double[] _times = [];
    private double[] _values = [];
    private double[] _means = [];
    private double[] _work = [];

    /// <summary>Learns from the readings between two times; null where there are too few of them, or they span less than <paramref name="leastSeconds"/>.</summary>
    public IdleNoise? Learn(DetectorHistory history, double from, double to, double leastSeconds)
    {
        var readings = history.Between(from, to, ref _times, ref _values);
        return readings < IdleNoise.FewestReadings || _times[readings - 1] - _times[0] < leastSeconds
            ? null
            : Learn(_times.AsSpan(0, readings), _values.AsSpan(0, readings));
    }

    /// <summary>Median of the readings between two times, detector's unit; null where there are fewer than <paramref name="least"/>.</summary>
    public double? Median(DetectorHistory history, double from, double to, int least)
    {
        var readings = history.Between(from, to, ref _times, ref _values);
        return readings < least ? null : Median(_values.AsSpan(0, readings));
    }

    /// <summary>Learns from a quiet stretch; null where it holds too few readings.</summary>
    /// <param name="times">s, ascending.</param>
    /// <param name="values">Detector's unit; as many as times.</param>
    public IdleNoise? Learn(ReadOnlySpan<double> times, ReadOnlySpan<double> values)
    {
        var n = values.Length;
        if (n < IdleNoise.FewestReadings)
        {
            return null;
        }

        if (_work.Length < n)
        {
            (_means, _work) = (new double[n + (n / 2)], new double[n + (n / 2)]);
        }

        // The difference of two readings with independent noise has twice its variance.
        var white = StepScale(values) / Math.Sqrt(2);
        var baseline = Median(values);
        var (scatter, slope) = Detrended(times, values);

        // A drift must not look like a stir before the baseline is learnt again a second later.
        var means = _means.AsSpan(0, n);
        DetectorStretch.Smooth(times, values, IdleNoise.SmoothSeconds, means);
        var inMean = Math.Max(1, IdleNoise.SmoothSeconds / Math.Max(MedianSpacing(times), 1e-6));
        var smooth = Math.Max(Detrended(times, means).Scatter, Math.Max(white / Math.Sqrt(inMean), Math.Abs(slope) / 2));
        var effective = Math.Max(white, Blinking(times, means) * Math.Sqrt(inMean));
        return new IdleNoise(baseline, white, effective, Math.Max(white, scatter), smooth, n);
    }

    private double Median(ReadOnlySpan<double> values)
    {
        if (_work.Length < values.Length)
        {
            _work = new double[values.Length];
        }

        values.CopyTo(_work);
        return Robust.MedianInPlace(_work.AsSpan(0, values.Length));
    }

    private double StepScale(ReadOnlySpan<double> values)
    {
        for (var i = 0; i < values.Length - 1; i++)
        {
            _work[i] = values[i + 1] - values[i];
        }

        return Robust.ScaleInPlace(_work.AsSpan(0, values.Length - 1));
    }

    private double MedianSpacing(ReadOnlySpan<double> times)
    {
        for (var i = 0; i < times.Length - 1; i++)
        {
            _work[i] = times[i + 1] - times[i];
        }

        return Robust.MedianInPlace(_work.AsSpan(0, times.Length - 1));
    }

    // Noise with a memory is stronger at the length of a flash than its steps from reading to reading tell:
    // short means a tenth of a second apart show it, without what is slower still.
    private double Blinking(ReadOnlySpan<double> times, ReadOnlySpan<double> means)
    {
        const double ApartSeconds = 0.1 - DetectorHistory.RoundingSeconds;
        int later = 0, steps = 0;
        for (var i = 0; i < means.Length; i++)
        {
            while (later < means.Length && times[later] < times[i] + ApartSeconds)
            {
                later++;
            }

            if (later < means.Length)
            {
                _work[steps++] = means[later] - means[i];
            }
        }

        return Robust.ScaleInPlace(_work.AsSpan(0, steps)) / Math.Sqrt(2);
    }

    private (double Scatter, double Slope) Detrended(ReadOnlySpan<double> times, ReadOnlySpan<double> values)
    {
        // Slope from the medians of the outer thirds: a spike or two cannot tilt it. Times ascend, so theirs stand in the middle.
        var third = values.Length / 3;
        var early = Median(values[..third]);
        var late = Median(values[^third..]);
        var earlyTime = Middle(times[..third]);
        var lateTime = Middle(times[^third..]);
        var slope = lateTime > earlyTime ? (late - early) / (lateTime - earlyTime) : 0;
        var residuals = _work.AsSpan(0, values.Length);
        Residuals(times, values, early, earlyTime, slope, residuals);
        var middle = Robust.MedianInPlace(residuals);
        foreach (ref var residual in residuals)
        {
            residual -= middle;
        }

        return (Robust.ScaleInPlace(residuals), slope);
    }

    private static void Residuals(ReadOnlySpan<double> times, ReadOnlySpan<double> values, double early, double earlyTime, double slope, Span<double> residuals)
    {
        for (var i = 0; i < residuals.Length; i++)
        {
            residuals[i] = values[i] - early - (slope * (times[i] - earlyTime));
        }
    }

    private static double Middle(ReadOnlySpan<double> ascending)
    {
        var middle = ascending.Length / 2;
        return ascending.Length % 2 == 1 ? ascending[middle] : (ascending[middle - 1] + ascending[middle]) / 2;
    }
}
