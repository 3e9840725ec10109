namespace Acquire.Service.Archive.Corrections;

/// <summary>Who may add to the record of a closed run. Nobody may change what is there.</summary>
/// <param name="MayCorrect">Names of those who may correct.</param>
/// <param name="MayApprove">Names of those who may approve.</param>
/// <param name="MayHold">Names of those who may hold runs back from pruning, and release them.</param>
/// <param name="MayPrune">Names of those who may prune runs that are old enough.</param>
public sealed record RunRoles(IReadOnlyList<string> MayCorrect, IReadOnlyList<string> MayApprove, IReadOnlyList<string> MayHold, IReadOnlyList<string> MayPrune)
{
    /// <summary>Nobody may do anything.</summary>
    public static RunRoles None { get; } = new([], [], [], []);
}
