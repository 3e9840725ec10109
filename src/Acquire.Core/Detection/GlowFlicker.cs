namespace Acquire.Core.Detection;

/// <summary>How much a glow flickers, beside the same detector before the pass.</summary>
/// <remarks>
/// A flame of a cup's width flickers at some 1 to 6 Hz; a drift, a tail and a warm detector do not. What is compared is the
/// scatter of short means about longer ones, in the glow and in the quiet before it, so that neither the kind of noise nor the
/// detector's unit has to be known.
/// </remarks>
internal static class GlowFlicker
{
    // Slow is what the mean over this time hardly loses and a flicker of 1 to 6 Hz does, s.
    private const double SlowSeconds = 0.6;

    // A flicker is more than the detector does without, and more than a hair of the glow.
    private const double Scales = 1.5;

    /// <summary>So many times the scatter of the quiet before the pass is proof by itself: a draught over the bench flickers too.</summary>
    public const double Proof = 2.2;

    /// <summary>So many times is a hint, which makes a flame of what is not likely to be anything else.</summary>
    public const double Hint = 1.4;
    private const double Share = 0.03;

    // The quiet before the pass, s before it; less of it than this tells nothing.
    private const double QuietFromSeconds = 6;
    private const double QuietToSeconds = 0.2;
    private const double LeastQuietSeconds = 1.5;

    /// <summary>Whether a stretch of glow flickers.</summary>
    /// <param name="heights">Heights above the baseline that hold the stretch.</param>
    /// <param name="from">Its beginning, s.</param>
    /// <param name="to">Its end, s.</param>
    /// <param name="glow">Mean height there, detector's unit.</param>
    /// <param name="quiet">Scatter without a flicker, detector's unit.</param>
    public static bool Shows(DetectorStretch heights, double from, double to, double glow, double quiet) =>
        Unrest(heights, from, to) is { } unrest && unrest > Math.Max(Scales * quiet, Share * glow);

    /// <summary>Whether a stretch flickers more than the quiet before the pass.</summary>
    /// <param name="times">How much more: <see cref="Proof"/> or <see cref="Hint"/>.</param>
    /// <param name="heights">Heights above the baseline that hold the stretch.</param>
    /// <param name="from">Its beginning, s.</param>
    /// <param name="to">Its end, s.</param>
    /// <param name="glow">Mean height there, detector's unit.</param>
    /// <param name="history">The readings.</param>
    /// <param name="begunSeconds">Beginning of the pass, s.</param>
    /// <param name="noise">What was learnt of the quiet detector.</param>
    public static bool Exceeds(double times, DetectorStretch heights, double from, double to, double glow, DetectorHistory history, double begunSeconds, IdleNoise noise) =>
        Unrest(heights, from, to) is { } unrest && unrest > Math.Max(times * Quiet(history, begunSeconds, noise), Share * glow);

    // Scatter of the quiet before the pass; what was learnt, where too little of it is held.
    private static double Quiet(DetectorHistory history, double begunSeconds, IdleNoise noise)
    {
        var (from, to) = (begunSeconds - QuietFromSeconds, begunSeconds - QuietToSeconds);
        if (history.Count == 0 || to - Math.Max(from, history.OldestSeconds) < LeastQuietSeconds)
        {
            return noise.Smooth;
        }

        return Unrest(history.Between(from, to).WithoutSpikes(noise.White), from, to) is { } unrest && unrest > 0 ? unrest : noise.Smooth;
    }

    // Null with too few readings.
    private static double? Unrest(DetectorStretch heights, double from, double to)
    {
        var part = heights.Between(from, to);
        if (part.Times.Length < IdleNoise.FewestReadings)
        {
            return null;
        }

        var fast = part.Smoothed(IdleNoise.SmoothSeconds).Values;
        var slow = part.Smoothed(SlowSeconds).Values;
        var unrest = WindowRoom.Take(fast.Length);
        for (var i = 0; i < unrest.Length; i++)
        {
            unrest[i] = fast[i] - slow[i];
        }

        return Robust.Scale(unrest);
    }
}
