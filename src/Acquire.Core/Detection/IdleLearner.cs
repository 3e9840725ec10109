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
        var spacing = Spacing.Of(times, _work);
        Smooth(times, values, spacing.Least, spacing.Most, means);
        var inMean = Math.Max(1, IdleNoise.SmoothSeconds / Math.Max(spacing.Median, 1e-6));
        var blinking = effective ? Blinking(times, means) * Math.Sqrt(inMean) : 0;
        var (scatter, level) = Scatter(times, means);
        var smooth = Math.Max(scatter, white / Math.Sqrt(inMean));
        if (!DriftsLess(times, values, level, 2 * smooth))
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

        var near = Bracket.About(_scatter > 0 ? EvenInverse.Sum(values) / values.Length : 0, AboutMean * _scatter);
        return Robust.Median(new PlainRow(values), near, _work);
    }

    // As in a detector's stretch. Where each mean holds as many readings on either side, which these are need not be asked reading by reading.
    private static void Smooth(ReadOnlySpan<double> times, ReadOnlySpan<double> values, double least, double most, Span<double> means)
    {
        const double Half = IdleNoise.SmoothSeconds / 2;
        var n = values.Length;
        var aside = (Half + DetectorHistory.RoundingSeconds) / most;
        var side = aside < n / 3 ? (int)aside : n;
        if (!(side < n / 3 && side * most < Half + (0.9 * DetectorHistory.RoundingSeconds) && (side + 1) * least > Half + (1.1 * DetectorHistory.RoundingSeconds)))
        {
            DetectorStretch.Smooth(times, values, IdleNoise.SmoothSeconds, means);
            return;
        }

        var all = (2 * side) + 1;
        double sum = 0;
        for (var i = 0; i < side; i++)
        {
            sum += values[i];
        }

        for (var i = 0; i <= side; i++)
        {
            sum += values[side + i];
            means[i] = sum / (side + i + 1);
        }

        var enter = values[all..];
        var leave = values[..(n - all)];
        var inside = means.Slice(side + 1, n - all);
        for (var i = 0; i < inside.Length; i++)
        {
            sum += enter[i];
            sum -= leave[i];
            inside[i] = sum / all;
        }

        for (var i = n - side; i < n; i++)
        {
            sum -= values[i - side - 1];
            means[i] = sum / (n - i + side);
        }
    }

    private double StepScale(ReadOnlySpan<double> values)
    {
        return _stepScale = Robust.Scale(new StepRow(values[1..], values[..^1]), _stepScale, _work);
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

    // Scatter about a straight line, and where its middle lies.
    private (double Scatter, double Level) Scatter(ReadOnlySpan<double> times, ReadOnlySpan<double> means)
    {
        var (early, late, earlyTime, slope) = Line(times, means);
        var residues = new ResidueRow(times, means, early, earlyTime, slope);
        var middle = Robust.Median(residues, Bracket.About(0, AboutMean * _scatter), _work);
        return (_scatter = Robust.Scale(new DistanceRow<ResidueRow>(residues, middle), _scatter, _work), (early + late) / 2);
    }

    // Where more than half of each outer third lies so near to one level, its median does too: nearly always, and sooner counted than found.
    private static bool DriftsLess(ReadOnlySpan<double> times, ReadOnlySpan<double> values, double level, double perSecond)
    {
        var third = values.Length / 3;
        var within = 0.499 * perSecond * (Middle(times[^third..]) - Middle(times[..third]));
        return MostNear(values[..third], level, within) && MostNear(values[^third..], level, within);
    }

    // Whether more than half is so near to a level. Where nearly all is, so much of it tells.
    private static bool MostNear(ReadOnlySpan<double> values, double level, double within)
    {
        var most = values[..(values.Length * 5 / 8)];
        var near = Near(most, level, within);
        return 2 * near > values.Length || 2 * (near + Near(values[most.Length..], level, within)) > values.Length;
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
    private (double Early, double Late, double EarlyTime, double Slope) Line(ReadOnlySpan<double> times, ReadOnlySpan<double> values)
    {
        var third = values.Length / 3;
        var early = Median(values[..third]);
        var late = Median(values[^third..]);
        var earlyTime = Middle(times[..third]);
        var lateTime = Middle(times[^third..]);
        return (early, late, earlyTime, lateTime > earlyTime ? (late - early) / (lateTime - earlyTime) : 0);
    }

    private static double Middle(ReadOnlySpan<double> ascending)
    {
        var middle = ascending.Length / 2;
        return ascending.Length % 2 == 1 ? ascending[middle] : (ascending[middle - 1] + ascending[middle]) / 2;
    }
}
