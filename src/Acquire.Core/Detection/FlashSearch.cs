namespace Acquire.Core.Detection;

/// <summary>The matched filter of <see cref="FlashTest"/> on a fine grid of onsets round a flash that was found.</summary>
/// <param name="times">Times of the points, s.</param>
/// <param name="inverse">Inverse of their covariance, row by row.</param>
/// <param name="weighted">The inverse times the values.</param>
/// <param name="spacing">Time between points, s.</param>
internal readonly ref struct FlashSearch(ReadOnlySpan<double> times, ReadOnlySpan<double> inverse, ReadOnlySpan<double> weighted, double spacing)
{
    private readonly ReadOnlySpan<double> _times = times;
    private readonly ReadOnlySpan<double> _inverse = inverse;
    private readonly ReadOnlySpan<double> _weighted = weighted;

    /// <summary>The likeliest onset near the one found, s; null where nothing points upwards.</summary>
    /// <param name="coarse">The flash as found on the coarse grid.</param>
    /// <param name="withinSeconds">How far from its onset is looked, s.</param>
    /// <param name="stepSeconds">Step of the finer grid, s.</param>
    public double? Onset(in FlashEvidence coarse, double withinSeconds, double stepSeconds)
    {
        Span<double> shape = stackalloc double[_times.Length];
        var (best, most) = ((double?)null, 0.0);
        var sudden = coarse.Shape < FlashShapes.Fading;
        foreach (var hold in sudden ? FlashShapes.FineHoldsSeconds : [0.0])
        {
            double before = 0, now = 0;
            for (var k = -1; (k - 1) * stepSeconds <= 2 * withinSeconds; k++)
            {
                var onset = coarse.OnsetSeconds - withinSeconds + (k * stepSeconds);
                var next = sudden ? Trapezoid(hold, onset, shape) : At(coarse.Shape, onset, shape);
                var after = next;
                if (now > before && now >= after && now > most)
                {
                    // The top of the parabola through three neighbours.
                    var bend = before - (2 * now) + after;
                    var off = bend < 0 ? 0.5 * (before - after) / bend : 0;
                    (best, most) = (onset - ((1 - Math.Clamp(off, -0.5, 0.5)) * stepSeconds), now);
                }

                (before, now) = (now, after);
            }
        }

        return best;
    }

    private double Trapezoid(double hold, double onset, Span<double> shape)
    {
        var (first, end) = Support(onset, onset + FlashShapes.LitSeconds(hold));
        for (var i = first; i < end; i++)
        {
            shape[i] = FlashShapes.Trapezoid(_times[i] - onset, hold);
        }

        return Match(shape, first, end);
    }

    private double At(int which, double onset, Span<double> shape)
    {
        var (first, end) = Support(onset, onset + FlashShapes.SupportSeconds(which, spacing));
        for (var i = first; i < end; i++)
        {
            shape[i] = FlashShapes.At(which, _times[i] - onset, spacing);
        }

        return Match(shape, first, end);
    }

    private (int First, int End) Support(double from, double to)
    {
        var first = _times.BinarySearch(from);
        first = first < 0 ? ~first : first;
        var end = first;
        for (; end < _times.Length && _times[end] < to; end++)
        {
        }

        return (first, end);
    }

    // Significance of a shape; 0 where it points downwards.
    private double Match(ReadOnlySpan<double> shape, int first, int end)
    {
        var support = shape[first..end];
        var projection = SymmetricInverse.Dot(support, _weighted[first..end]);

        // Where nothing points upwards the costly part is spared.
        if (!(projection > 0))
        {
            return 0;
        }

        double norm = 0;
        for (var i = first; i < end; i++)
        {
            norm += shape[i] * SymmetricInverse.Dot(_inverse.Slice((i * _times.Length) + first, end - first), support);
        }

        return norm > 0 ? projection / Math.Sqrt(norm) : 0;
    }
}
