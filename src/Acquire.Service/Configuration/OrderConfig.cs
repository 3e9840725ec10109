namespace Acquire.Service.Configuration;

/// <summary>How readings that come twice or out of order are known.</summary>
/// <param name="BySequence">By the tester's own count; else by its time alone.</param>
/// <param name="LateSeconds">How far behind the newest reading one may lie and is still taken, marked as late, s; 0 to 60. What lies farther behind begins a new record.</param>
public sealed record OrderConfig(bool BySequence, double LateSeconds)
{
    /// <summary>The window where nothing else is said, s.</summary>
    public const double UsualLateSeconds = 5;

    /// <summary>The longest window, s.</summary>
    public const double LongestLateSeconds = 60;
}
