using System.Numerics;
using System.Runtime.InteropServices;

namespace Acquire.Core.Detection;

/// <summary>Learns what a quiet detector does, once a second from thousands of readings; its memory is kept from one time to the next.</summary>
internal sealed class IdleLearner
{
    // A median is looked for this near to the mean first, in scales of means over 50 ms.
    private const double AboutMean = 0.2;

    private double[] _times = [];
    private double[] _values = [];
    private double[] _means = [];
    private double[] _work = [];

    // What was found last: where it is looked for first.
    private double _stepScale;
    private double _scatter;

    /// <summary>Learns from the readings between two times; null where there are too few of them, or they span less than <paramref name="leastSeconds"/>.</summary>
    /// <param name="history">The readings.</param>
    /// <param name="from">First time, s.</param>
    /// <param name="to">Last time, s.</param>
    /// <param name="leastSeconds">Least time between the first of them and the last, s.</param>
    /// <param name="effective">Whether <see cref="IdleNoise.Effective"/> is asked for; else it is the white noise.</param>
    /// <param name="baseline">The baseline where it is known already, detector's unit.</param>
    public IdleNoise? Learn(DetectorHistory history, double from, double to, double leastSeconds, bool effective, double? baseline)
    {
        var readings = history.Between(from, to, ref _times, ref _values);
        return readings < IdleNoise.FewestReadings || _times[readings - 1] - _times[0] < leastSeconds
            ? null
            : Learn(_times.AsSpan(0, readings), _values.AsSpan(0, readings), effective, baseline);
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
    /// <param name="effective">Whether <see cref="IdleNoise.Effective"/> is asked for; else it is the white noise.</param>
    /// <param name="baseline">The baseline where it is known already, detector's unit.</param>
    public IdleNoise? Learn(ReadOnlySpan<double> times, ReadOnlySpan<double> values, bool effective = true, double? baseline = null)
    {
        var n = values.Length;
        if (n < IdleNoise.FewestReadings)
        {
            return null;
        }

        // Each by itself: a median of more readings than were ever learnt from makes the one longer than the other.
        if (_work.Length < n || _means.Length < n)
        {
            (_means, _work) = (new double[n + (n / 2)], new double[n + (n / 2)]);
        }

        // The difference of two readings with independent noise has twice its variance.
        var white = StepScale(values) / Math.Sqrt(2);

        // A drift must not look like a stir before the baseline is learnt again a second later.
        var means = _means.AsSpan(0, n);
        DetectorStretch.Smooth(times, values, IdleNoise.SmoothSeconds, means);
        var inMean = Math.Max(1, IdleNoise.SmoothSeconds / Math.Max(Spacing.Median(times, _work), 1e-6));
        var blinking = effective ? Blinking(times, means) * Math.Sqrt(inMean) : 0;
        var smooth = Math.Max(ScatterInPlace(times, means), white / Math.Sqrt(inMean));
        if (!DriftsLess(times, values, 2 * smooth))
        {
            smooth = Math.Max(smooth, Math.Abs(Line(times, values).Slope) / 2);
        }

        return new IdleNoise(baseline ?? Median(values), white, Math.Max(white, blinking), smooth, n);
    }

    private double Median(ReadOnlySpan<double> values)
    {
        if (_work.Length < values.Length)
        {
            _work = new double[values.Length];
        }

        values.CopyTo(_work);
        var near = Bracket.About(_scatter > 0 ? EvenInverse.Sum(values) / values.Length : 0, AboutMean * _scatter);
        return Robust.MedianInPlace(_work.AsSpan(0, values.Length), near);
    }

    private double StepScale(ReadOnlySpan<double> values)
    {
        var steps = _work.AsSpan(0, values.Length - 1);
        Rows.Differ(values[1..], values[..^1], steps);
        return _stepScale = Robust.ScaleInPlace(steps, _stepScale);
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

    // Scatter about a straight line; the values become what it leaves.
    private double ScatterInPlace(ReadOnlySpan<double> times, Span<double> values)
    {
        var (early, earlyTime, slope) = Line(times, values);
        Rows.TakeOff(times, early, earlyTime, slope, values);
        Rows.TakeOff(Median(values), values);

        return _scatter = Robust.ScaleInPlace(values, _scatter);
    }

    // Where more than half of each outer third lies so near to one level, its median does too: nearly always, and sooner counted than found.
    private static bool DriftsLess(ReadOnlySpan<double> times, ReadOnlySpan<double> values, double perSecond)
    {
        var third = values.Length / 3;
        var early = values[..third];
        var late = values[^third..];
        var level = (EvenInverse.Sum(early) + EvenInverse.Sum(late)) / (2 * third);
        var within = 0.499 * perSecond * (Middle(times[^third..]) - Middle(times[..third]));
        return 2 * Near(early, level, within) > third && 2 * Near(late, level, within) > third;
    }

    // How many are so near to a level.
    private static int Near(ReadOnlySpan<double> values, double level, double within)
    {
        var (wideLevel, wideWithin, near) = (new Vector<double>(level), new Vector<double>(within), Vector<long>.Zero);
        var wide = MemoryMarshal.Cast<double, Vector<double>>(values);
        foreach (var four in wide)
        {
            near -= Vector.LessThanOrEqual(Vector.Abs(four - wideLevel), wideWithin);
        }

        var count = (int)Vector.Sum(near);
        foreach (var value in values[(wide.Length * Vector<double>.Count)..])
        {
            count += Math.Abs(value - level) <= within ? 1 : 0;
        }

        return count;
    }

    // From the medians of the outer thirds: a spike or two cannot tilt it. Times ascend, so theirs stand in the middle.
    private (double Early, double EarlyTime, double Slope) Line(ReadOnlySpan<double> times, ReadOnlySpan<double> values)
    {
        var third = values.Length / 3;
        var early = Median(values[..third]);
        var late = Median(values[^third..]);
        var earlyTime = Middle(times[..third]);
        var lateTime = Middle(times[^third..]);
        return (early, earlyTime, lateTime > earlyTime ? (late - early) / (lateTime - earlyTime) : 0);
    }

    private static double Middle(ReadOnlySpan<double> ascending)
    {
        var middle = ascending.Length / 2;
        return ascending.Length % 2 == 1 ? ascending[middle] : (ascending[middle - 1] + ascending[middle]) / 2;
    }
}
