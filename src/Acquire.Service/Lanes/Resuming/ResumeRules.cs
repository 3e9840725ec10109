namespace Acquire.Service.Lanes.Resuming;

/// <summary>When a run that was open as the service ended goes on.</summary>
/// <param name="WithinMinutes">After at most so long without readings, min; 0 to 120. 0: never.</param>
public sealed record ResumeRules(double WithinMinutes)
{
    /// <summary>Where nothing is said, min: time enough for a computer to start again; after longer nobody can say what happened at the cup. Common practice, no source.</summary>
    public const double UsualMinutes = 10;

    /// <summary>Longest that can be said, min.</summary>
    public const double MostMinutes = 120;

    /// <summary>Where nothing is said.</summary>
    public static ResumeRules Usual { get; } = new(UsualMinutes);

    /// <summary>The same as a time.</summary>
    public TimeSpan Within => TimeSpan.FromMinutes(WithinMinutes);
}
