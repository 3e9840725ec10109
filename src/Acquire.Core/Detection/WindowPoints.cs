namespace Acquire.Core.Detection;

/// <summary>The readings of a window, averaged to so few points that their covariance can be inverted; its memory is kept from one window to the next.</summary>
internal sealed class WindowPoints
{
    /// <summary>Most points.</summary>
    public const int Most = 320;

    /// <summary>Readings within this time are averaged: no flash is told apart within less, s.</summary>
    public const double UsualSeconds = 0.01;

    // The known course may be half as high again, or half as high.
    private const double SizeDeviation = 0.5;

    // How far the known course may come sooner or later, s.
    private const double ShiftSeconds = 0.04;

    // Points whose times are off an even spacing by less than this share of it are taken as even.
    private const int Round = 4;
    private const double EvenWithin = 0.2;

    // Where a flash covers few points it hangs on each of them, and so on its time, s. Between points farther apart than so many spacings nothing is made up.
    private const double LongestRespacedSeconds = 0.025;
    private const double LongestGap = 2.2;

    private readonly FlashGrid _grid = new();
    private bool _gridMade;

    /// <summary>Points filled.</summary>
    public int Count { get; private set; }

    /// <summary>Whether they are evenly spaced.</summary>
    public bool Even { get; private set; }

    /// <summary>Whether they lie on the lines between the readings: their noise is not quite what it is taken to be.</summary>
    public bool Respaced { get; private set; }

    /// <summary>Mean time between points, s.</summary>
    public double SpacingSeconds { get; private set; }

    /// <summary>Whether the course of the passes before is known.</summary>
    public bool HasKnown { get; private set; }

    /// <summary>Times, s.</summary>
    public double[] Times { get; } = new double[Most + 1];

    /// <summary>Values less the known course, in units of the noise.</summary>
    public double[] Values { get; } = new double[Most + 1];

    /// <summary>The known course, as far as its size is free.</summary>
    public double[] Known { get; } = new double[Most + 1];

    /// <summary>What a shift of it would add.</summary>
    public double[] Shift { get; } = new double[Most + 1];

    /// <summary>Room for the covariances of points k spacings apart.</summary>
    public double[] Table { get; } = new double[Most + 1];

    /// <summary>Times of the points filled, s.</summary>
    public ReadOnlySpan<double> TimesNow => Times.AsSpan(0, Count);

    /// <summary>Their values.</summary>
    public ReadOnlySpan<double> ValuesNow => Values.AsSpan(0, Count);

    /// <summary>Deviation of the noise, detector's unit: the unit of all values here.</summary>
    public double Unit { get; private set; }

    /// <summary>The nuisance as far as the question tells it.</summary>
    public NuisanceCourse Course { get; private set; }

    /// <summary>Takes in the window of a question.</summary>
    /// <param name="question">What is asked.</param>
    /// <param name="leastSeconds">Readings within this time are averaged, s; 0 leaves them as they are, as far as there is room.</param>
    /// <param name="evenly">Whether points that come unevenly, without holes, are replaced by evenly spaced ones on the lines between them.</param>
    public void Take(in FlashQuestion question, double leastSeconds = UsualSeconds, bool evenly = false)
    {
        (_gridMade, Respaced) = (false, false);
        Average(question.Window, leastSeconds);
        var all = Count;

        // Passes differ by a reading or two: at a round number of points more of them have the same covariance.
        Count = Rounded(Count);
        if (Count == 0)
        {
            return;
        }

        MeasureSpacing();
        Respaced = evenly && !Even && Respace(all, question.Known);

        // The noise of the known course is in what is left after it.
        var share = 1 + question.KnownShare;
        var (course, unit) = NuisanceCourse.Of(question.Noise, (double)question.Window.Times.Length / Count, question.LeastNoise / Math.Sqrt(share), question.SlowHeight / Math.Sqrt(share), SpacingSeconds);
        (Course, Unit) = (course, unit * Math.Sqrt(share));
        HasKnown = question.Known is not null;
        for (var i = 0; i < Count; i++)
        {
            var value = Values[i];
            if (question.Known is { } known)
            {
                var here = known.At(Times[i]);
                value -= Respaced ? 0 : here;
                Known[i] = SizeDeviation * here / Unit;
                Shift[i] = (known.At(Times[i] + ShiftSeconds) - known.At(Times[i] - ShiftSeconds)) / Unit;
            }

            Values[i] = value / Unit;
        }
    }

    /// <summary>The flashes that are looked for at these points, where they are uneven: the same for each idea of the nuisance.</summary>
    /// <param name="from">Earliest onset, s.</param>
    /// <param name="to">Latest, s.</param>
    public FlashGrid Grid(double from, double to)
    {
        if (!_gridMade)
        {
            _grid.Fill(TimesNow, SpacingSeconds, from, to);
            _gridMade = true;
        }

        return _grid;
    }

    /// <summary>A round number of points, not more than there are.</summary>
    public static int Rounded(int count) => count > 4 * Round ? count - (count % Round) : count;

    /// <summary>Adds the known course to the lower triangle of a covariance of the points.</summary>
    public void AddKnown(Span<double> covariance)
    {
        for (var i = 0; HasKnown && i < Count; i++)
        {
            for (var j = 0; j <= i; j++)
            {
                covariance[(i * Count) + j] += (Known[i] * Known[j]) + (Shift[i] * Shift[j]);
            }
        }
    }

    private void MeasureSpacing()
    {
        SpacingSeconds = Count < 2 ? 0 : (Times[Count - 1] - Times[0]) / (Count - 1);
        Even = Count > 1;
        for (var i = 1; i < Count; i++)
        {
            Even &= Math.Abs(Times[i] - Times[0] - (i * SpacingSeconds)) <= EvenWithin * SpacingSeconds;
        }
    }

    // Evenly spaced points on the grid of onsets, about as many as there are. What is known is taken off before: the less is left, the less a line between two points is off.
    private bool Respace(int all, PassCourse? known)
    {
        var lasts = Times[all - 1] - Times[0];
        var mean = lasts / Math.Max(1, all - 1);
        if (!(mean is > 0 and <= LongestRespacedSeconds))
        {
            return false;
        }

        for (var i = 1; i < all; i++)
        {
            if (!(Times[i] - Times[i - 1] <= LongestGap * mean))
            {
                return false;
            }
        }

        var steps = Math.Max(1, Math.Round(mean / FlashGrid.StepSeconds));
        steps = Math.Max(steps, Math.Ceiling(lasts / (FlashGrid.StepSeconds * (Most - 1))));
        var spacing = steps * FlashGrid.StepSeconds;
        Span<double> values = stackalloc double[Rounded((int)((lasts / spacing) + 1e-6) + 1)];
        for (var i = 0; i < all && known is not null; i++)
        {
            Values[i] -= known.Value.At(Times[i]);
        }

        for (var (k, i) = (0, 1); k < values.Length; k++)
        {
            var time = Times[0] + (k * spacing);
            while (i < all - 1 && Times[i] < time)
            {
                i++;
            }

            var share = (time - Times[i - 1]) / (Times[i] - Times[i - 1]);
            values[k] = Values[i - 1] + (share * (Values[i] - Values[i - 1]));
        }

        (Count, Even, SpacingSeconds) = (values.Length, true, spacing);
        values.CopyTo(Values);
        for (var k = 1; k < Count; k++)
        {
            Times[k] = Times[0] + (k * spacing);
        }

        return true;
    }

    private void Average(DetectorStretch window, double leastSeconds)
    {
        Count = 0;
        var times = window.Times;
        var values = window.Values;
        if (times.Length == 0)
        {
            return;
        }

        // A hair less than the width, so that evenly spaced readings do not fall to either side by rounding.
        var width = (times[^1] - times[0]) / (Most - 1);
        width = leastSeconds > 0 ? leastSeconds * Math.Max(1, Math.Ceiling((width / leastSeconds) - 1e-6)) : width;
        width *= 1 - 1e-6;
        for (var i = 0; i < times.Length && Count <= Most; Count++)
        {
            var end = times[i] + width;
            var (time, value, n) = (0.0, 0.0, 0);
            for (; i < times.Length && times[i] < end; i++, n++)
            {
                time += times[i];
                value += values[i];
            }

            (Times[Count], Values[Count]) = (time / n, value / n);
        }
    }
}
