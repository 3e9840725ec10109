namespace Acquire.Core.Detection;

/// <summary>The matched filter of <see cref="FlashTest"/> for the shape that does not fall: burning.</summary>
/// <remarks>After its rise the shape is 1 to the end of the window, so its sums run over ends of the window and are made once for all onsets.</remarks>
internal sealed class BurnTest
{
    // A burn needs to be seen for so long after its onset to be one, s.
    private const double LeastSeenSeconds = 0.3;

    private readonly double[] _times;
    private readonly double[] _inverse;
    private readonly double[] _weighted;

    // From each reading to the end: sum of the weighted readings, and of the square of the inverse that begins there.
    private readonly double[] _weightedToEnd;
    private readonly double[] _squareToEnd;

    /// <param name="times">Times of the readings, s, growing.</param>
    /// <param name="inverse">Inverse of their covariance, row by row.</param>
    /// <param name="weighted">The inverse times the readings.</param>
    public BurnTest(double[] times, double[] inverse, double[] weighted)
    {
        (_times, _inverse, _weighted) = (times, inverse, weighted);
        var n = times.Length;
        (_weightedToEnd, _squareToEnd) = (new double[n + 1], new double[n + 1]);
        for (var i = n - 1; i >= 0; i--)
        {
            _weightedToEnd[i] = _weightedToEnd[i + 1] + weighted[i];
            _squareToEnd[i] = _squareToEnd[i + 1] + inverse[(i * n) + i] + (2 * RowToEnd(i, i + 1));
        }
    }

    /// <summary>What speaks for a burn that began at a time, s; null where nothing does.</summary>
    public FlashEvidence? At(double onset, double spacing)
    {
        var n = _times.Length;
        var first = Array.BinarySearch(_times, onset);
        first = first < 0 ? ~first : first;
        if (first >= n || _times[^1] - onset < LeastSeenSeconds)
        {
            return null;
        }

        Span<double> rise = stackalloc double[n - first];
        var risen = first;
        for (double value; risen < n && (value = FlashShapes.At(FlashShapes.Burning, _times[risen] - onset, spacing)) < 1; risen++)
        {
            rise[risen - first] = value;
        }

        rise = rise[..(risen - first)];
        var projection = _weightedToEnd[risen] + SymmetricInverse.Dot(_weighted.AsSpan(first, rise.Length), rise);
        if (!(projection > 0))
        {
            return null;
        }

        var norm = _squareToEnd[risen];
        for (var i = first; i < risen; i++)
        {
            norm += rise[i - first] * ((2 * RowToEnd(i, risen)) + SymmetricInverse.Dot(_inverse.AsSpan((i * n) + first, rise.Length), rise));
        }

        return !(norm > 0) ? null : new FlashEvidence(onset, projection / norm, 1 / Math.Sqrt(norm), FlashShapes.Burning, projection / Math.Sqrt(norm));
    }

    private double RowToEnd(int row, int from)
    {
        double sum = 0;
        foreach (var value in _inverse.AsSpan((row * _times.Length) + from, _times.Length - from))
        {
            sum += value;
        }

        return sum;
    }
}
