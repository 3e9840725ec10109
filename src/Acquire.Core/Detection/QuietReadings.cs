namespace Acquire.Core.Detection;

/// <summary>The readings of a quiet stretch without their spikes; its memory is kept from one stretch to the next.</summary>
internal sealed class QuietReadings
{
    // Single readings that stand so many deviations out of both their neighbours are spikes.
    private const double SpikeDeviations = 5;

    private double[] _times = [];
    private double[] _values = [];

    // That of the differences as found last: where it is looked for first.
    private double _scale;

    /// <summary>Times, s.</summary>
    public double[] Times => _times;

    /// <summary>Values, detector's unit.</summary>
    public double[] Values => _values;

    /// <summary>Room for twice as many values.</summary>
    public double[] Work { get; private set; } = [];

    /// <summary>Takes in the readings between two times.</summary>
    /// <param name="history">The readings.</param>
    /// <param name="from">First time, s.</param>
    /// <param name="to">Last time, s.</param>
    /// <param name="halfCount">What the converter cannot tell, detector's unit: a step of one count is not counted as wild.</param>
    /// <param name="wild">Spikes among them.</param>
    /// <returns>How many there are.</returns>
    public int Take(DetectorHistory history, double from, double to, double halfCount, out int wild)
    {
        var n = history.Between(from, to, ref _times, ref _values);
        if (Work.Length < 2 * n)
        {
            Work = new double[3 * n];
        }

        wild = n >= 3 ? RemoveSpikes(n, SpikeDeviations * halfCount) : 0;
        return n;
    }

    private int RemoveSpikes(int n, double leastWild)
    {
        Rows.Differ(_values.AsSpan(1, n - 1), _values.AsSpan(0, n - 1), Work);

        // The difference of two readings with independent noise has twice its variance.
        _scale = Robust.ScaleInPlace(Work.AsSpan(0, n - 1), _scale);
        var limit = SpikeDeviations * _scale / Math.Sqrt(2);
        return Replace(_values.AsSpan(0, n), limit, Math.Max(limit, leastWild));
    }

    // The middle one of three lies a neighbour's distance off at most, so most readings are passed over after one comparison.
    private static int Replace(Span<double> values, double limit, double leastWild)
    {
        var (wild, before) = (0, values[0]);
        for (var i = 1; i < values.Length - 1; i++)
        {
            var value = values[i];
            if (Math.Abs(value - before) > limit && Math.Abs(value - values[i + 1]) > limit)
            {
                var middle = Robust.Median3(before, value, values[i + 1]);
                var off = Math.Abs(value - middle);
                values[i] = off > limit ? middle : value;
                wild += off > leastWild ? 1 : 0;
            }

            before = value;
        }

        return wild;
    }
}
