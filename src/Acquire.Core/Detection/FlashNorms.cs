namespace Acquire.Core.Detection;

/// <summary>Squares of flashes of height 1 in units of noise and nuisance: sᵀC⁻¹s, for all of a <see cref="FlashGroup"/>.</summary>
/// <remarks>
/// Without offset and drift the inverse at one pair of points differs from that at the next pair by products of the predictor
/// alone, so from the end of the window on each square follows from the one behind it.
/// </remarks>
internal static class FlashNorms
{
    /// <summary>Fills them.</summary>
    public static void Fill(EvenInverse inverse, FlashGroup group)
    {
        var n = inverse.Predictor.Length;
        var count = n - group.First;
        var length = group.Values.Length;
        Span<double> row = stackalloc double[n + length + (2 * Sliding.Slack) + 1];
        Span<double> ahead = stackalloc double[count + Sliding.Slack];
        Span<double> back = stackalloc double[count + Sliding.Slack];
        Span<double> offset = stackalloc double[count + Sliding.Slack];
        Span<double> drift = stackalloc double[count + Sliding.Slack];
        row.Clear();
        for (var i = 0; i < n; i++)
        {
            row[i] = inverse.Predictor[n - 1 - i];
        }

        Along(group, row, n, ahead, count);
        for (var i = 0; i < n; i++)
        {
            row[i] = i < n - 1 ? inverse.Predictor[i + 1] : 0;
        }

        Along(group, row, n, back, count);
        inverse.Offset.CopyTo(row);
        Along(group, row, n, offset, count);
        inverse.Drift.CopyTo(row);
        Along(group, row, n, drift, count);
        var square = 0.0;
        for (var i = count - 1; i >= 0; i--)
        {
            square += ((ahead[i] * ahead[i]) - (back[i] * back[i])) / inverse.Error;
            if (i < group.Count)
            {
                group.Norms[i] = square - (offset[i] * offset[i] / inverse.OffsetScale) - (drift[i] * drift[i] / inverse.DriftScale);
            }
        }
    }

    private static void Along(FlashGroup group, ReadOnlySpan<double> row, int n, Span<double> sums, int count)
    {
        Sliding.Sum(group.Values, row[group.First..], sums, count);
        if (!group.Burns)
        {
            return;
        }

        double rest = 0;
        var behind = group.First + group.Values.Length;
        for (var i = count - 1; i >= 0; i--)
        {
            rest += behind + i < n ? row[behind + i] : 0;
            sums[i] += rest;
        }
    }
}
