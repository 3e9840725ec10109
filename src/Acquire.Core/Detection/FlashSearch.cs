namespace Acquire.Core.Detection;

/// <summary>The matched filter of <see cref="FlashTest"/> over shapes and onsets, for one idea of the nuisance.</summary>
/// <param name="times">Times of the points, s.</param>
/// <param name="inverse">Inverse of their covariance, row by row.</param>
/// <param name="weighted">The inverse times the values.</param>
/// <param name="spacing">Time between points, s.</param>
internal readonly ref struct FlashSearch(ReadOnlySpan<double> times, ReadOnlySpan<double> inverse, ReadOnlySpan<double> weighted, double spacing)
{
    private readonly ReadOnlySpan<double> _times = times;
    private readonly ReadOnlySpan<double> _inverse = inverse;
    private readonly ReadOnlySpan<double> _weighted = weighted;

    /// <summary>The most significant flash that is possible; null where nothing points upwards.</summary>
    public FlashEvidence? Strongest(in FlashQuestion question, double stepSeconds)
    {
        FlashEvidence? best = null;
        Span<double> shape = stackalloc double[_times.Length];
        var highest = question.Highest / question.SlowHeight;
        for (var which = 0; which < FlashShapes.Burning; which++)
        {
            for (var onset = question.From; onset <= question.To; onset += stepSeconds)
            {
                best = Better(best, At(which, onset, shape), highest);
            }
        }

        var burning = new BurnTest(_times, _inverse, _weighted, stackalloc double[_times.Length + 1], stackalloc double[_times.Length + 1]);
        for (var onset = question.From; onset <= question.To; onset += stepSeconds)
        {
            best = Better(best, burning.At(onset, spacing), Math.Min(highest, 2 * question.Linger / question.SlowHeight));
        }

        return best;
    }

    private static FlashEvidence? Better(FlashEvidence? best, FlashEvidence? other, double highest) =>
        other is { } found && found.Height <= highest && !(found.Significance <= best?.Significance) ? found : best;

    /// <summary>The flash of a known shape that fits best near an onset, to a fraction of a millisecond; null where nothing points upwards.</summary>
    /// <param name="coarse">The flash as found on the coarse grid.</param>
    /// <param name="withinSeconds">How far from its onset is looked, s.</param>
    /// <param name="stepSeconds">Step of the finer grid, s.</param>
    public FlashEvidence? Refined(in FlashEvidence coarse, double withinSeconds, double stepSeconds)
    {
        Span<double> shape = stackalloc double[_times.Length];
        FlashEvidence? best = null;
        var sudden = coarse.Shape < FlashShapes.Fading;
        foreach (var hold in sudden ? FlashShapes.FineHoldsSeconds : [0.0])
        {
            double before = 0, now = 0;
            for (var k = -1; (k - 1) * stepSeconds <= 2 * withinSeconds; k++)
            {
                var onset = coarse.OnsetSeconds - withinSeconds + (k * stepSeconds);
                var next = sudden ? Trapezoid(hold, onset, shape) : At(coarse.Shape, onset, shape);
                var after = next?.Significance ?? 0;
                if (now > before && now >= after && now > (best?.Significance ?? 0))
                {
                    // The top of the parabola through three neighbours.
                    var bend = before - (2 * now) + after;
                    var off = bend < 0 ? 0.5 * (before - after) / bend : 0;
                    best = coarse with { OnsetSeconds = onset - ((1 - Math.Clamp(off, -0.5, 0.5)) * stepSeconds), Significance = now };
                }

                (before, now) = (now, after);
            }
        }

        return best;
    }

    private FlashEvidence? Trapezoid(double hold, double onset, Span<double> shape)
    {
        var (first, end) = Support(onset, onset + FlashShapes.LitSeconds(hold));
        for (var i = first; i < end; i++)
        {
            shape[i] = FlashShapes.Trapezoid(_times[i] - onset, hold);
        }

        return Match(0, onset, shape, first, end);
    }

    private FlashEvidence? At(int which, double onset, Span<double> shape)
    {
        var (first, end) = Support(onset, onset + FlashShapes.SupportSeconds(which, spacing));
        for (var i = first; i < end; i++)
        {
            shape[i] = FlashShapes.At(which, _times[i] - onset, spacing);
        }

        return Match(which, onset, shape, first, end);
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

    private FlashEvidence? Match(int which, double onset, ReadOnlySpan<double> shape, int first, int end)
    {
        var support = shape[first..end];
        var projection = SymmetricInverse.Dot(support, _weighted[first..end]);

        // Where nothing points upwards the costly part is spared.
        if (!(projection > 0))
        {
            return null;
        }

        double norm = 0;
        for (var i = first; i < end; i++)
        {
            norm += shape[i] * SymmetricInverse.Dot(_inverse.Slice((i * _times.Length) + first, end - first), support);
        }

        return !(norm > 0) ? null : new FlashEvidence(onset, projection / norm, 1 / Math.Sqrt(norm), which, projection / Math.Sqrt(norm));
    }
}
