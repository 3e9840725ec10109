namespace Acquire.Core.Detection;

/// <summary>What the detector watch has seen.</summary>
internal abstract record WatchEvent
{
    /// <summary>A pass was judged.</summary>
    public sealed record Judged(Pass Pass, PassVerdict Verdict) : WatchEvent;

    /// <summary>The flame passed over a specimen that was already burning.</summary>
    public sealed record PassedOverFire(double Start, double End) : WatchEvent;

    /// <summary>The specimen burns on after a flash.</summary>
    public sealed record Burning : WatchEvent;

    /// <summary>What looked like burning was a pass without a flash.</summary>
    public sealed record NotBurning : WatchEvent;

    /// <summary>The specimen has burned for the seconds asked for.</summary>
    public sealed record Sustained(double At, double Onset) : WatchEvent;

    /// <summary>A burn went out.</summary>
    public sealed record WentOut(double Onset, double BurnedSeconds, bool LongEnough) : WatchEvent;

    /// <summary>An ignition with no flame over the cup.</summary>
    public sealed record Stray(double At) : WatchEvent;

    /// <summary>That ignition is high and lasts long enough to go on record.</summary>
    public sealed record StrayLasted(double At) : WatchEvent;

    /// <summary>That ignition is over, or has lasted so long without a flicker that the detector is taken to have shifted.</summary>
    public sealed record StrayEnded : WatchEvent;
}
