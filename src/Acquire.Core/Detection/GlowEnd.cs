namespace Acquire.Core.Detection;

/// <summary>Until when a burn has been lit, looked at again once all of it is there.</summary>
/// <remarks>
/// A detector that drifts while it burns does not come back to where it was: what is left then is above the darkness of before,
/// and would prolong the burn. A flame that is out leaves a glow far below the one before, and no flicker. How high the one
/// before was is read from the brighter side of the sharpest change: what is dark by now may be most of the time that is looked at.
/// The tail of a strong flash in a slow detector is no part of it.
/// </remarks>
internal static class GlowEnd
{
    // The flash and the test flame are over by then, s; less of a burn than this is not looked at.
    private const double AfterSeconds = 0.3;
    private const double LeastSeconds = 1;

    // Lit is what stands above this share of the burn, in means over so long, s.
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
    /// <param name="spectrum">What the quiet detector does, walk and all; null where that is not known.</param>
    /// <param name="now">s.</param>
    /// <returns>When it was last lit, s: now, where it still is.</returns>
    public static double Of(DetectorHistory history, BurnTracker burn, PassMemory memory, IdleNoise noise, NoiseSpectrum? spectrum, double now)
    {
        var from = Math.Max(burn.OnsetSeconds, burn.FlameLeftSeconds) + AfterSeconds;
        if (!(now - from >= LeastSeconds))
        {
            return now;
        }

        var heights = GlowCourse.Heights(history, burn, memory, noise, from, now);
        var means = heights.Smoothed(MeanSeconds);
        var limit = LitShare * BrighterSide(heights.Between(from + FallSeconds, now).Values);
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
        if (now - lit <= OutSeconds)
        {
            return lit;
        }

        // Fallen to where the detector rests it is out, whatever stirs there: a draught and a bump are no flame.
        var left = GlowCourse.Middle(heights, rest, now);
        return !GlowCourse.MayHaveWandered(left, burn, spectrum, now) && GlowFlicker.Exceeds(GlowFlicker.Proof, heights, rest, now, left, history, burn.BegunSeconds, noise) ? now : lit;
    }

    // Of all places to cut the stretch in two, the one that explains most of its scatter; the mean of the brighter part there.
    private static double BrighterSide(ReadOnlySpan<double> heights)
    {
        double all = 0;
        foreach (var height in heights)
        {
            all += height;
        }

        var (most, brighter, before) = (double.NegativeInfinity, 0.0, 0.0);
        for (var cut = 1; cut < heights.Length; cut++)
        {
            before += heights[cut - 1];
            var (first, second) = (before / cut, (all - before) / (heights.Length - cut));
            var explained = (double)cut * (heights.Length - cut) * (first - second) * (first - second);
            (most, brighter) = explained > most ? (explained, Math.Max(first, second)) : (most, brighter);
        }

        return brighter;
    }
}
