namespace Acquire.Core.Detection;

/// <summary>Until when a burn has been lit, looked at again once all of it is there.</summary>
/// <remarks>
/// A detector that drifts while it burns does not come back to where it was: what is left then is above the darkness of before,
/// and would prolong the burn. A flame that is out leaves a glow far below the one before, and no flicker.
/// </remarks>
internal static class GlowEnd
{
    // The flash and the test flame are over by then, s; less of a burn than this is not looked at.
    private const double AfterSeconds = 0.3;
    private const double LeastSeconds = 1;

    // Lit is what stands above this share of the middle of the burn, in means over so long, s.
    private const double LitShare = 0.6;
    private const double MeanSeconds = 0.3;

    // A slow detector's tail is over by then, and as much again of what is left tells whether it flickers, s.
    private const double FallSeconds = 0.6;

    /// <summary>After so much darkness it is out, if nothing flickers, s.</summary>
    public const double OutSeconds = 1.6;

    /// <summary>Finds it.</summary>
    /// <param name="history">The readings.</param>
    /// <param name="burn">The burn.</param>
    /// <param name="memory">Passes before, whose course is taken off.</param>
    /// <param name="noise">Quiet detector before it.</param>
    /// <param name="now">s.</param>
    /// <returns>When it was last lit, s: now, where it still is.</returns>
    public static double Of(DetectorHistory history, BurnTracker burn, PassMemory memory, IdleNoise noise, double now)
    {
        var from = Math.Max(burn.OnsetSeconds, burn.FlameLeftSeconds) + AfterSeconds;
        if (!(now - from >= LeastSeconds))
        {
            return now;
        }

        var heights = GlowCourse.Heights(history, burn, memory, noise, from, now);
        var limit = LitShare * Robust.Median(heights.Values);
        var means = heights.Smoothed(MeanSeconds);
        var last = means.Values.Length - 1;
        while (last >= 0 && !(means.Values[last] > limit))
        {
            last--;
        }

        if (last < 0 || last == means.Values.Length - 1)
        {
            return now;
        }

        var (lit, rest) = (means.Times[last], means.Times[last] + FallSeconds);
        return now - lit > OutSeconds
            && GlowFlicker.Exceeds(GlowFlicker.Proof, heights, rest, now, GlowCourse.Middle(heights, rest, now), history, burn.BegunSeconds, noise) ? now : lit;
    }
}
