namespace Acquire.Core.Detection;

/// <summary>Says of a burn that is followed when it goes on, when it has lasted for the method's seconds, and when it is over.</summary>
internal static class BurnJudge
{
    // Between two looks at a course that no flame would have, s.
    private const double LookAgainSeconds = 0.1;

    /// <summary>Whether its course is to be looked at now: it has glowed long enough to be called burning, or sustained.</summary>
    public static bool Asks(BurnTracker burn, double seconds, double sustainedSeconds)
    {
        if (burn.LookedBeside && burn.MayBeRelit && burn.JustSurged(seconds))
        {
            return false;
        }

        var goesOn = !burn.Told && seconds >= burn.LookAgainSeconds && (burn.Ignited ? burn.BurnedSeconds : burn.ClearSeconds) > BurnTracker.BriefSeconds;
        return goesOn || (burn is { Ignited: true, Sustained: false } && burn.BurnedSeconds >= sustainedSeconds);
    }

    /// <summary>Looks at the course.</summary>
    /// <returns>Whether it may still be a burn.</returns>
    public static bool Look(BurnTracker burn, DetectorHistory history, PassMemory memory, IdleNoise noise, NoiseSpectrum? spectrum, double seconds, double sustainedSeconds, List<WatchEvent> events)
    {
        using var room = WindowRoom.Open();
        var isFlame = !burn.Ignited || GlowCourse.IsFlame(history, burn, memory, noise, spectrum, seconds);
        if (!burn.Told)
        {
            burn.Told = isFlame;
            burn.LookAgainSeconds = seconds + LookAgainSeconds;
            if (isFlame)
            {
                events.Add(new WatchEvent.Burning());
            }
        }

        if (!burn.Ignited || burn.BurnedSeconds < sustainedSeconds)
        {
            return true;
        }

        burn.Began(GlowOnset.Of(history, burn, memory, noise));
        if (burn.BurnedSeconds < sustainedSeconds)
        {
            return true;
        }

        // Dark for longer than a flicker is out, whatever a drift has left; dark just now, it may be lit again.
        var lit = GlowEnd.Of(history, burn, memory, noise, spectrum, seconds);
        if (lit - burn.OnsetSeconds < sustainedSeconds)
        {
            if (seconds - lit > GlowEnd.OutSeconds)
            {
                burn.EndedAt(lit);
            }

            return true;
        }

        if (isFlame)
        {
            burn.Sustained = true;
            events.Add(new WatchEvent.Sustained(seconds, burn.OnsetSeconds));
        }

        return isFlame;
    }
}
