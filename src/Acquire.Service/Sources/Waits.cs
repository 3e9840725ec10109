namespace Acquire.Service.Sources;

/// <summary>Lengths of waits.</summary>
internal static class Waits
{
    /// <summary>Rounded up: a timer takes whole milliseconds and would round down, and a wait that is a bit too short is waited twice.</summary>
    public static TimeSpan WholeMilliseconds(TimeSpan wait) => TimeSpan.FromMilliseconds(Math.Ceiling(wait.TotalMilliseconds));
}
