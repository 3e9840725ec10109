namespace Acquire.Service.Archive.Corrections;

/// <summary>Who may add to the record of a closed run. Nobody may change what is there.</summary>
/// <param name="MayCorrect">Names of those who may correct.</param>
/// <param name="MayApprove">Names of those who may approve.</param>
public sealed record RunRoles(IReadOnlyList<string> MayCorrect, IReadOnlyList<string> MayApprove)
{
    /// <summary>Nobody may do anything.</summary>
    public static RunRoles None { get; } = new([], []);

    /// <summary>Names of those who may hold runs back from pruning, and release them.</summary>
    public IReadOnlyList<string> MayHold { get; init; } = [];

    /// <summary>Names of those who may prune runs that are old enough.</summary>
    public IReadOnlyList<string> MayPrune { get; init; } = [];
}
