namespace Acquire.Core.Detection;

/// <summary>When a burn began, looked for again once all of it is there.</summary>
/// <remarks>
/// The judgement of the pass may have taken a flicker of a flame that burned already, or a wild reading before it, for the
/// beginning; or what stood earlier was the test flame and its halo, which grows, and does not tower over the passes before. Where
/// it was dark in between, what was before counts for nothing. Where it was not, the first of the sharpest rises is the beginning.
/// </remarks>
internal static class GlowOnset
{
    // Before a pass begins, and an onset that is earlier by no more is the same one, s.
    private const double LeadSeconds = 0.1;

    // The onset is looked for from the beginning of the pass until so long after the one that was judged, s; darkness, of the glow.
    private const double WithinSeconds = 1;
    private const double DarkShare = 0.2;

    // What burns is measured so long after the onset, and after the flame has left, s.
    private const double AfterSeconds = 0.3;
    private const double BurnSeconds = 3;

    // The glow right before and after an onset, s; the first step of that share of the largest is the beginning.
    private const double BeforeFromSeconds = 0.1;
    private const double BeforeToSeconds = 0.02;
    private const double AfterFromSeconds = 0.02;
    private const double AfterToSeconds = 0.1;
    private const double SharpShare = 0.9;

    // A burn before the onset that was judged does not fall below this share of what burns later, in means over so long, s.
    private const double LitShare = 0.35;
    private const double MeanSeconds = 0.1;

    // What stands higher above the course of the passes before than this multiple of the highest of them is no test flame.
    private const double TowerSeconds = 0.3;
    private const double TowerShare = 1.5;

    /// <summary>Finds it.</summary>
    /// <param name="history">The readings.</param>
    /// <param name="burn">The burn.</param>
    /// <param name="memory">Passes before, whose course is taken off.</param>
    /// <param name="noise">Quiet detector before it.</param>
    /// <returns>The onset that was judged, or another time in the same pass, s.</returns>
    public static double Of(DetectorHistory history, BurnTracker burn, PassMemory memory, IdleNoise noise)
    {
        var judged = burn.OnsetSeconds;
        var from = Math.Max(judged, burn.FlameLeftSeconds) + AfterSeconds;
        var heights = GlowCourse.Heights(history, burn, memory, noise, burn.BegunSeconds - LeadSeconds, from + BurnSeconds);
        var glow = GlowCourse.Middle(heights, judged + LeadSeconds, judged + WithinSeconds);
        var level = Math.Max(0.5 * glow, Math.Max(0.5 * memory.Peak, 5 * noise.Smooth));
        var smooth = heights.Between(burn.BegunSeconds - LeadSeconds, judged + WithinSeconds).Smoothed(IdleNoise.SmoothSeconds);
        var first = 0;
        while (first < smooth.Times.Length - 1 && !(smooth.Values[first] > level && smooth.Values[first + 1] > level))
        {
            first++;
        }

        if (first >= smooth.Times.Length - 1 || Math.Abs(smooth.Times[first] - judged) <= LeadSeconds)
        {
            return judged;
        }

        var other = smooth.Times[first];
        return other < judged ? Began(heights, smooth, other, judged, level, GlowCourse.Middle(heights, from, from + BurnSeconds), memory.Peak)
            : GlowCourse.Middle(heights, judged, other) < DarkShare * glow ? other
            : judged;
    }

    /// <summary>When what burned at a time had begun: at an earlier moment that stood out and was no test flame, else at the sharpest rise since it was last dark, s.</summary>
    /// <param name="heights">Heights above the baseline, the flame's own light taken off.</param>
    /// <param name="smooth">Means over <see cref="IdleNoise.SmoothSeconds"/>.</param>
    /// <param name="other">The earlier moment, s.</param>
    /// <param name="judged">The sudden part, s.</param>
    /// <param name="level">What stands out.</param>
    /// <param name="burn">Height of the burn once the test flame has gone.</param>
    /// <param name="peak">Highest of the passes before.</param>
    public static double Began(DetectorStretch heights, DetectorStretch smooth, double other, double judged, double level, double burn, double peak)
    {
        if (Towers(heights, other, judged, burn, peak))
        {
            return other;
        }

        var means = heights.Between(other, judged - BeforeToSeconds).Smoothed(MeanSeconds);
        var dark = means.Values.Length - 1;
        while (dark >= 0 && !(means.Values[dark] <= LitShare * burn))
        {
            dark--;
        }

        if (dark < 0)
        {
            return means.Values.Length == 0 ? judged : Sharpest(heights, other, judged);
        }

        // The halo stood out first, and went dark; what lit after it may flicker more sharply than it began.
        var lit = 0;
        while (lit < smooth.Times.Length && (smooth.Times[lit] <= means.Times[dark] || smooth.Values[lit] <= level))
        {
            lit++;
        }

        return lit == smooth.Times.Length || !(smooth.Times[lit] < judged - LeadSeconds) ? judged
            : Towers(heights, smooth.Times[lit], judged, burn, peak) ? smooth.Times[lit]
            : Sharpest(heights, smooth.Times[lit], judged);
    }

    // Higher than any test flame: it burned, however dark it was in between.
    private static bool Towers(DetectorStretch heights, double other, double judged, double burn, double peak) =>
        GlowCourse.Middle(heights, other, Math.Min(other + TowerSeconds, judged)) > Math.Max(LitShare * burn, TowerShare * peak);

    // Of what was lit all the time. A flame is there at once, where the halo takes its time; a flicker, which may be about as
    // sharp, comes only after it.
    private static double Sharpest(DetectorStretch heights, double other, double judged)
    {
        var near = heights.Between(other - WithinSeconds, judged + WithinSeconds);
        var within = near.Between(other - LeadSeconds, judged + LeadSeconds).Times;
        var steps = WindowRoom.Take(within.Length);
        Steps(near, within, steps);
        var most = 0.0;
        foreach (var step in steps)
        {
            most = Math.Max(most, step);
        }

        for (var i = 0; i < steps.Length; i++)
        {
            if (steps[i] >= SharpShare * most)
            {
                return within[i] >= judged - LeadSeconds ? judged : within[i] <= other + LeadSeconds ? other : within[i];
            }
        }

        return judged;
    }

    // How far the glow steps up at each of ascending times; where readings are missing, from the last before it to the first after it.
    private static void Steps(DetectorStretch heights, ReadOnlySpan<double> at, Span<double> steps)
    {
        var times = heights.Times;
        var values = heights.Values;
        var (before, beforeEnd, after, afterEnd) = (0, 0, 0, 0);
        for (var i = 0; i < at.Length; i++)
        {
            before = Advance(times, before, at[i] - BeforeFromSeconds);
            beforeEnd = Advance(times, beforeEnd, Math.BitIncrement(at[i] - BeforeToSeconds));
            after = Advance(times, after, at[i] + AfterFromSeconds);
            afterEnd = Advance(times, afterEnd, Math.BitIncrement(at[i] + AfterToSeconds));
            var low = values[(before < beforeEnd ? before : Math.Max(0, beforeEnd - 1))..beforeEnd];
            var high = values[after..(after < afterEnd ? afterEnd : Math.Min(after + 1, values.Length))];
            steps[i] = Robust.Median(high) - Robust.Median(low);
        }
    }

    // The first reading that is not before a time, from a place on.
    private static int Advance(ReadOnlySpan<double> times, int from, double time)
    {
        while (from < times.Length && times[from] < time)
        {
            from++;
        }

        return from;
    }
}
