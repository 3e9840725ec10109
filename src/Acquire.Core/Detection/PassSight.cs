namespace Acquire.Core.Detection;

/// <summary>What a pass that was judged to be no flash could have shown, for runs in which one pass decides and none before it has taught anything.</summary>
/// <param name="Ambiguous">It holds a sudden part that noise does not explain, and that is too small beside the pass to be called a flash.</param>
/// <param name="Tellable">Whether a flash worth the name would have been told.</param>
/// <param name="LeastHeight">Smallest flash that would have been told or called ambiguous in 98 of 100 cases, detector's unit; infinite where none would.</param>
internal readonly record struct PassSight(bool Ambiguous, bool Tellable, double LeastHeight)
{
    /// <summary>A pass of which nothing can be said.</summary>
    public static PassSight None { get; } = new(false, false, double.PositiveInfinity);

    // Some two hundred independent onsets and shapes in one pass: noise alone reaches this in one of a hundred. A portion
    // that is repeated for nothing costs minutes, a flash that is overlooked passes an inflammable product.
    private const double SuddenDeviations = 4.3;

    // Two more, so that what lies at the limit and is lessened by noise is still above the threshold.
    private const double Power = 2;

    /// <summary>What counts as a flash in a detector of which nothing is known, as a multiple of the pass: what the judge asks of a first pass, six tenths of the whole, which is half as high again as the pass itself.</summary>
    public const double FlashOverPass = 1.5;

    /// <summary>A blink of a tenth to a fifth of a second must not fit between two readings, s.</summary>
    public const double LongestSpacingSeconds = 0.25;

    /// <summary>Of a flash of 60 to 200 ms little or nothing is left between two readings further apart than this, s.</summary>
    public const double HidingSeconds = 0.15;

    /// <summary>Looks at a pass.</summary>
    /// <param name="pass">When it was.</param>
    /// <param name="window">Its readings.</param>
    /// <param name="evidence">The strongest sudden part; null where there were too few readings.</param>
    /// <param name="record">Its figures.</param>
    public static PassSight Of(Pass pass, DetectorStretch window, FlashEvidence? evidence, PassRecord record)
    {
        if (evidence is not { } found)
        {
            return None;
        }

        var least = (SuddenDeviations + Power) * found.HeightUncertainty;
        var seen = record.Visible && least <= FlashOverPass * record.Peak && Longest(window.Times, pass) <= LongestSpacingSeconds;
        return new(found.Significance >= SuddenDeviations, seen, least);
    }

    /// <summary>Longest time without a reading while the flame was over the cup, s, where it is longer than <see cref="HidingSeconds"/> and than what is usual; else 0.</summary>
    /// <remarks>A detector that is slow all along is told by its self-check.</remarks>
    internal static double Hidden(DetectorStretch window, Pass pass)
    {
        const double usual = 3;
        var gap = Longest(window.Times, pass);
        return gap > HidingSeconds && gap > usual * window.MedianSpacingSeconds() ? gap : 0;
    }

    private static double Longest(ReadOnlySpan<double> times, Pass pass)
    {
        var (before, most) = (pass.Start, 0.0);
        foreach (var time in times)
        {
            if (time > pass.Start && before < pass.End)
            {
                most = Math.Max(most, time - before);
                before = time;
            }
        }

        return Math.Max(most, pass.End - before);
    }
}
