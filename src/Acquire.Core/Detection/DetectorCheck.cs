namespace Acquire.Core.Detection;

/// <summary>Whether a flash can be told by what a detector sends.</summary>
public enum DetectorTrust
{
    /// <summary>Nothing speaks against it.</summary>
    Good,

    /// <summary>Flashes that a good detector shows may be missed, or something else be taken for one.</summary>
    Limited,

    /// <summary>A person has to look at the cup: what the detector says may be wrong.</summary>
    None,
}

/// <summary>What speaks against a detector.</summary>
/// <param name="Code">One of <see cref="DetectorReasonCodes"/>.</param>
/// <param name="Trust">What is left of the trust.</param>
/// <param name="Text">What was seen, and what to do, in sentences.</param>
public sealed record DetectorReason(string Code, DetectorTrust Trust, string Text);

/// <summary>What the quiet detector says about the flashes that could be told, at its rate and noise.</summary>
/// <param name="ReadingsPerSecond">Readings a second, from the median time between them in the newest quiet stretch; 1/s.</param>
/// <param name="Noise">Standard deviation of one reading, without a slow walk, detector's unit; null where readings come too rarely to learn it.</param>
/// <param name="LeastFlash">Least height of a flash of 20, 100 and 50 ms (rise, hold, fall) that is told in 98 of 100 cases beside a pass of unknown course, detector's unit; null where that cannot be told.</param>
/// <param name="QuietSeconds">Quiet that was looked at, s; every second once.</param>
/// <param name="WildReadings">Single readings in it that stood far out of both their neighbours.</param>
/// <param name="LongestGapSeconds">Longest time between readings in it, s.</param>
/// <param name="Reasons">What speaks against the detector; empty where nothing does.</param>
public sealed record DetectorCheck(
    double ReadingsPerSecond, double? Noise, double? LeastFlash, double QuietSeconds, int WildReadings, double LongestGapSeconds, IReadOnlyList<DetectorReason> Reasons)
{
    /// <summary>Whether detection can be trusted: the heaviest reason decides.</summary>
    public DetectorTrust Trust => Reasons.Select(reason => reason.Trust).DefaultIfEmpty().Max();

    /// <summary>Wild readings a minute of quiet.</summary>
    public double WildPerMinute => QuietSeconds > 0 ? 60 * WildReadings / QuietSeconds : 0;
}
