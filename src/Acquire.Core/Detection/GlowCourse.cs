namespace Acquire.Core.Detection;

/// <summary>Looks back on the glow since an onset and asks whether a flame could look like that.</summary>
/// <remarks>
/// A flame of the size of a cup is there at once, and it flickers. A detector that warms up after a flash comes up slowly from
/// darkness, a slow detector's tail falls, and one that wanders by itself may have come as far by chance; none flickers. What
/// comes at once, stays and is no such chance cannot be told from a flame without a flicker and is called one.
/// </remarks>
internal static class GlowCourse
{
    // The flash itself is over by then, s after the onset; a dark moment before the slow rise is looked for so long.
    private const double AfterFlashSeconds = 0.3;
    private const double DipFromSeconds = 0.15;
    private const double DipUntilSeconds = 1.5;
    private const double DipSeconds = 0.15;

    private const double EdgeSeconds = 0.3;

    // Shares of the glow at the end, or at the beginning.
    private const double RisenFrom = 0.55;
    private const double FallenTo = 0.6;
    private const double EdgeShare = 0.5;

    // What noise may do to a mean, and what it takes from the lowest of several, in its deviations.
    private const double Deviations = 3;
    private const double DipDeviations = 2;

    // A quiet detector that wanders does not come so far by chance, in deviations of its walk; and hardly so far.
    private const double WalkDeviations = 4;
    private const double FewWalkDeviations = 2.5;

    // A flame stands from the first second on, where what wanders has hardly come away yet, in deviations of its walk until then.
    private const double StandSeconds = 1;
    private const double StandDeviations = 6;

    /// <summary>Whether it burns.</summary>
    /// <param name="history">The readings.</param>
    /// <param name="burn">The burn.</param>
    /// <param name="memory">Passes before, whose course is taken off.</param>
    /// <param name="noise">Quiet detector before it.</param>
    /// <param name="spectrum">What the quiet detector does, walk and all; null where that is not known.</param>
    /// <param name="now">s.</param>
    public static bool IsFlame(DetectorHistory history, BurnTracker burn, PassMemory memory, IdleNoise noise, NoiseSpectrum? spectrum, double now)
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
        if ((fell || rose) && !GlowFlicker.Shows(heights, from, now, late, noise.Smooth))
        {
            return false;
        }

        // Where no reading came in that second nothing is held against it.
        var soon = from + (StandSeconds / 2);
        var early = heights.Between(from, from + StandSeconds).Times.Length == 0 ? double.PositiveInfinity : Mean(heights, from, from + StandSeconds);
        if (MayHaveWandered(early, burn, spectrum, soon))
        {
            return false;
        }

        // The less it stands clear of what wanders, soon and late, the more of a flicker it needs.
        var (walkSoon, walkNow) = (Walk(burn, spectrum, soon), Walk(burn, spectrum, now));
        var stayed = late >= WalkDeviations * walkNow;
        var hinted = stayed || (early >= WalkDeviations * walkSoon && late >= FewWalkDeviations * walkNow);
        return (stayed && (walkSoon == 0 || early >= StandDeviations * walkSoon))
            || GlowFlicker.Exceeds(hinted ? GlowFlicker.Hint : GlowFlicker.Proof, heights, from, now, late, history, burn.BegunSeconds, noise);
    }

    /// <summary>Whether a glow is no more than the quiet detector may have wandered by itself since the pass began.</summary>
    /// <param name="height">Height of the glow, detector's unit.</param>
    /// <param name="burn">The burn.</param>
    /// <param name="spectrum">What the quiet detector does; null where that is not known: then it does not wander.</param>
    /// <param name="seconds">When, s.</param>
    public static bool MayHaveWandered(double height, BurnTracker burn, NoiseSpectrum? spectrum, double seconds) =>
        Walk(burn, spectrum, seconds) is var walk and > 0 && height < FewWalkDeviations * walk;

    private static double Walk(BurnTracker burn, NoiseSpectrum? spectrum, double seconds) => Math.Sqrt((spectrum?.LongWalk ?? 0) * (seconds - burn.BegunSeconds));

    /// <summary>Readings above the baseline, the flame's own light taken off.</summary>
    public static DetectorStretch Heights(DetectorHistory history, BurnTracker burn, PassMemory memory, IdleNoise noise, double from, double to)
    {
        var window = history.Between(from, to).WithoutSpikes(noise.White);
        return window.Above(burn.Baseline).Above(memory.Course(burn.BegunSeconds));
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

    /// <summary>Median between two times; 0 where there is nothing.</summary>
    public static double Middle(DetectorStretch heights, double from, double to)
    {
        var (first, end) = Extent(heights.Times, from, to);
        return Robust.Median(heights.Values[first..end]);
    }

    // Lowest short mean soon after the flash, with what noise takes from the lowest of several.
    private static double Dip(DetectorStretch heights, double onset, IdleNoise noise)
    {
        var (first, end) = Extent(heights.Times, onset + DipFromSeconds, onset + DipUntilSeconds);
        var smooth = heights.Smoothed(DipSeconds).Values[first..end];
        var lowest = double.PositiveInfinity;
        foreach (var value in smooth)
        {
            lowest = Math.Min(lowest, value);
        }

        return lowest + (DipDeviations * noise.Smooth);
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

    private static (int First, int End) Extent(ReadOnlySpan<double> times, double from, double to)
    {
        var first = 0;
        while (first < times.Length && !(times[first] >= from))
        {
            first++;
        }

        var end = first;
        while (end < times.Length && !(times[end] > to))
        {
            end++;
        }

        return (first, end);
    }
}
