namespace Acquire.Core.Detection;

/// <summary>Looks back on the glow since an onset and asks whether a flame could look like that.</summary>
/// <remarks>
/// A flame of the size of a cup is there at once, and it flickers. A detector that warms up after a flash comes up slowly from
/// darkness, and a slow detector's tail falls; neither flickers. What comes at once and stays without a flicker cannot be told
/// from a flame and is called one.
/// </remarks>
internal static class GlowCourse
{
    // The flash itself is over by then, s after the onset; a dark moment before the slow rise is looked for so long.
    private const double AfterFlashSeconds = 0.3;
    private const double DipFromSeconds = 0.15;
    private const double DipUntilSeconds = 1.5;
    private const double DipSeconds = 0.15;

    // Before a pass begins, and an onset that is earlier by no more is the same one, s.
    private const double LeadSeconds = 0.1;

    // The onset is looked for from the beginning of the pass until so long after the one that was judged, s; darkness, of the glow.
    private const double OnsetWithinSeconds = 1;
    private const double DarkShare = 0.2;

    // Slow is what the mean over this time hardly loses and a flicker of 1 to 6 Hz does, s.
    private const double SlowSeconds = 0.6;
    private const double EdgeSeconds = 0.3;

    // Shares of the glow at the end, or at the beginning.
    private const double RisenFrom = 0.55;
    private const double FallenTo = 0.6;
    private const double EdgeShare = 0.5;

    // A flicker is more than noise, and more than a hair of the glow.
    private const double FlickerScales = 1.5;
    private const double FlickerShare = 0.03;

    // What noise may do to a mean, and what it takes from the lowest of several, in its deviations.
    private const double Deviations = 3;
    private const double DipDeviations = 2;

    /// <summary>Whether it burns.</summary>
    /// <param name="history">The readings.</param>
    /// <param name="burn">The burn.</param>
    /// <param name="memory">Passes before, whose course is taken off.</param>
    /// <param name="noise">Quiet detector before it.</param>
    /// <param name="now">s.</param>
    public static bool IsFlame(DetectorHistory history, BurnTracker burn, PassMemory memory, IdleNoise noise, double now)
    {
        var heights = Heights(history, burn, memory, noise, burn.OnsetSeconds, now);
        var from = Math.Max(burn.OnsetSeconds + AfterFlashSeconds, burn.FlameLeftSeconds + AfterFlashSeconds);
        var part = Math.Min(1, (now - from) / 3);
        if (!(part > 0.1) || heights.Times.Length < 8)
        {
            return true;
        }

        var late = Mean(heights, now - part, now);
        if (late < burn.Floor)
        {
            return false;
        }

        var uncertainty = Deviations * noise.Smooth * Math.Sqrt(Math.Min(1, IdleNoise.SmoothSeconds / part));
        var fell = late + uncertainty < FallenTo * Mean(heights, from, from + part);
        var rose = Dip(heights, burn.OnsetSeconds, noise) < RisenFrom * late && !HasEdge(heights, from, late, noise);
        return !(fell || rose) || Flickers(heights, from, late, noise);
    }

    /// <summary>When the burn began, where the judgement of the pass took a later flicker, or a wild reading before it, for the beginning.</summary>
    /// <returns>The onset of the burn, or another time in the same pass, s.</returns>
    public static double Onset(DetectorHistory history, BurnTracker burn, PassMemory memory, IdleNoise noise)
    {
        var judged = burn.OnsetSeconds;
        var heights = Heights(history, burn, memory, noise, burn.BegunSeconds - LeadSeconds, judged + OnsetWithinSeconds);
        var glow = Middle(heights, judged + LeadSeconds, judged + OnsetWithinSeconds);
        var level = Math.Max(0.5 * glow, Math.Max(0.5 * memory.Peak, 5 * noise.Smooth));
        var smooth = heights.Smoothed(IdleNoise.SmoothSeconds);
        var first = 0;
        while (first < smooth.Times.Length - 1 && !(smooth.Values[first] > level && smooth.Values[first + 1] > level))
        {
            first++;
        }

        if (first >= smooth.Times.Length - 1 || Math.Abs(smooth.Times[first] - judged) <= LeadSeconds)
        {
            return judged;
        }

        // Later only where nothing but darkness lies between.
        var earlier = smooth.Times[first] < judged;
        return earlier || Middle(heights, judged, smooth.Times[first]) < DarkShare * glow ? smooth.Times[first] : judged;
    }

    // Above the baseline, the flame's own light taken off.
    private static DetectorStretch Heights(DetectorHistory history, BurnTracker burn, PassMemory memory, IdleNoise noise, double from, double to)
    {
        var window = history.Between(from, to).WithoutSpikes(noise.White);
        var course = memory.Course(burn.BegunSeconds);
        return window with { Values = [.. window.Values.Select((value, i) => value - burn.Baseline - (course?.Invoke(window.Times[i]) ?? 0))] };
    }

    private static double Mean(DetectorStretch heights, double from, double to)
    {
        var (first, end) = Extent(heights.Times, from, to);
        double sum = 0;
        for (var i = first; i < end; i++)
        {
            sum += heights.Values[i];
        }

        return sum / Math.Max(1, end - first);
    }

    private static double Middle(DetectorStretch heights, double from, double to)
    {
        var (first, end) = Extent(heights.Times, from, to);
        return Robust.Median(heights.Values.AsSpan(first, end - first));
    }

    // Lowest short mean soon after the flash, with what noise takes from the lowest of several.
    private static double Dip(DetectorStretch heights, double onset, IdleNoise noise)
    {
        var (first, end) = Extent(heights.Times, onset + DipFromSeconds, onset + DipUntilSeconds);
        var smooth = heights.Smoothed(DipSeconds).Values.AsSpan(first, end - first);
        var lowest = double.PositiveInfinity;
        foreach (var value in smooth)
        {
            lowest = Math.Min(lowest, value);
        }

        return lowest + (DipDeviations * noise.Smooth);
    }

    private static bool Flickers(DetectorStretch heights, double from, double late, IdleNoise noise)
    {
        var (first, end) = Extent(heights.Times, from, heights.Times[^1]);
        var fast = heights.Smoothed(IdleNoise.SmoothSeconds).Values;
        var slow = heights.Smoothed(SlowSeconds).Values;
        var unrest = new double[end - first];
        for (var i = 0; i < unrest.Length; i++)
        {
            unrest[i] = fast[first + i] - slow[first + i];
        }

        return Robust.Scale(unrest) > Math.Max(FlickerScales * noise.Smooth, FlickerShare * late);
    }

    // A flame that a draught laid flat comes back at once.
    private static bool HasEdge(DetectorStretch heights, double from, double late, IdleNoise noise)
    {
        var (first, end) = Extent(heights.Times, from, heights.Times[^1] - EdgeSeconds);
        var means = heights.Smoothed(EdgeSeconds);
        var later = first;
        for (var i = first; i < end; i++)
        {
            while (later < means.Times.Length - 1 && means.Times[later] < means.Times[i] + EdgeSeconds)
            {
                later++;
            }

            if (means.Values[later] - means.Values[i] > (EdgeShare * late) + (Deviations * noise.Smooth))
            {
                return true;
            }
        }

        return false;
    }

    private static (int First, int End) Extent(double[] times, double from, double to)
    {
        var first = Array.FindIndex(times, time => time >= from);
        first = first < 0 ? times.Length : first;
        var end = Array.FindIndex(times, first, time => time > to);
        return (first, end < 0 ? times.Length : end);
    }
}
