namespace Acquire.Core.Detection;

/// <summary>The matched filter of <see cref="FlashTest"/> for the shape that does not fall: burning.</summary>
/// <remarks>After its rise the shape is 1 to the end of the window, so its sums run over ends of the window and are made once for all onsets.</remarks>
internal readonly ref struct BurnTest
{
    // A burn needs to be seen for so long after its onset to be one, s.
    private const double LeastSeenSeconds = 0.3;

    private readonly ReadOnlySpan<double> _times;
    private readonly ReadOnlySpan<double> _inverse;
    private readonly ReadOnlySpan<double> _weighted;

    // From each point to the end: sum of the weighted values, and of the square of the inverse that begins there.
    private readonly Span<double> _weightedToEnd;
    private readonly Span<double> _squareToEnd;

    /// <param name="times">Times of the points, s, growing.</param>
    /// <param name="inverse">Inverse of their covariance, row by row.</param>
    /// <param name="weighted">The inverse times the values.</param>
    /// <param name="weightedToEnd">Room for one value more than there are points.</param>
    /// <param name="squareToEnd">Likewise.</param>
    public BurnTest(ReadOnlySpan<double> times, ReadOnlySpan<double> inverse, ReadOnlySpan<double> weighted, Span<double> weightedToEnd, Span<double> squareToEnd)
    {
        _times = times;
        _inverse = inverse;
        _weighted = weighted;
        _weightedToEnd = weightedToEnd;
        _squareToEnd = squareToEnd;
        var n = times.Length;
        (weightedToEnd[n], squareToEnd[n]) = (0, 0);
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
        var first = _times.BinarySearch(onset);
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
        var projection = _weightedToEnd[risen] + SymmetricInverse.Dot(_weighted.Slice(first, rise.Length), rise);
        if (!(projection > 0))
        {
            return null;
        }

        var norm = _squareToEnd[risen];
        for (var i = first; i < risen; i++)
        {
            norm += rise[i - first] * ((2 * RowToEnd(i, risen)) + SymmetricInverse.Dot(_inverse.Slice((i * n) + first, rise.Length), rise));
        }

        return !(norm > 0) ? null : new FlashEvidence(onset, projection / norm, 1 / Math.Sqrt(norm), FlashShapes.Burning, projection / Math.Sqrt(norm));
    }

    private double RowToEnd(int row, int from)
    {
        double sum = 0;
        foreach (var value in _inverse.Slice((row * _times.Length) + from, _times.Length - from))
        {
            sum += value;
        }

        return sum;
    }
}
