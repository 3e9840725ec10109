namespace Acquire.Service.CommandLine;

/// <summary>What the program tells the shell.</summary>
internal static class ExitCode
{
    /// <summary>Done; every run judged is valid or doubtful.</summary>
    public const int Done = 0;

    /// <summary>A run is invalid, or the work failed.</summary>
    public const int Failed = 1;

    /// <summary>Arguments or input cannot be used.</summary>
    public const int BadInput = 2;
}
