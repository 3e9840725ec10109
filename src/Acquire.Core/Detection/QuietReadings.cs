using System.Numerics;
using System.Runtime.InteropServices;

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
        // The difference of two readings with independent noise has twice its variance.
        _scale = Robust.Scale(new StepRow(_values.AsSpan(1, n - 1), _values.AsSpan(0, n - 1)), _scale, Work);
        var limit = SpikeDeviations * _scale / Math.Sqrt(2);
        return Replace(_values.AsSpan(0, n), limit, Math.Max(limit, leastWild));
    }

    // The middle one of three lies a neighbour's distance off at most, so most readings are passed over after one comparison.
    private static int Replace(Span<double> values, double limit, double leastWild)
    {
        var wild = 0;
        for (var i = NextStep(values, 1, limit); i < values.Length - 1; i = NextStep(values, i, limit))
        {
            // The reading before is the one that was read, whatever stands in its place now.
            var (before, replaced) = (values[i - 1], true);
            for (; replaced && i < values.Length - 1; i++)
            {
                var value = values[i];
                var middle = Robust.Median3(before, value, values[i + 1]);
                var off = Math.Abs(value - middle);
                replaced = off > limit;
                values[i] = replaced ? middle : value;
                wild += replaced && off > leastWild ? 1 : 0;
                before = value;
            }
        }

        return wild;
    }

    // The first reading from a place on that stands so far from the one before; their number where none does.
    private static int NextStep(ReadOnlySpan<double> values, int from, double limit)
    {
        var later = values[from..];
        var earlier = values.Slice(from - 1, later.Length);
        var wideLater = MemoryMarshal.Cast<double, Vector<double>>(later);
        var wideEarlier = MemoryMarshal.Cast<double, Vector<double>>(earlier);
        var (wideLimit, at) = (new Vector<double>(limit), 0);
        while (at < wideLater.Length && !Vector.GreaterThanAny(Vector.Abs(wideLater[at] - wideEarlier[at]), wideLimit))
        {
            at++;
        }

        for (var i = at * Vector<double>.Count; i < later.Length; i++)
        {
            if (Math.Abs(later[i] - earlier[i]) > limit)
            {
                return from + i;
            }
        }

        return values.Length;
    }
}
