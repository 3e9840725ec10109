namespace Acquire.Service.Archive.Keeping;

/// <summary>That a run was pruned. Its records are gone, this and their places in the chain stay.</summary>
/// <param name="RunId">Id of the run.</param>
/// <param name="At">When, UTC.</param>
/// <param name="Person">Who answers for it.</param>
/// <param name="Reason">Why.</param>
/// <param name="TesterId">Tester that made the run.</param>
/// <param name="MethodId">Its method.</param>
/// <param name="StartedAt">When the run began, UTC.</param>
/// <param name="EndedAt">When it was closed, or marked as interrupted, UTC.</param>
/// <param name="Verdict">The verdict that last stood, as a word; null for a run without a result.</param>
/// <param name="Records">How many of its records are gone.</param>
/// <param name="Copy">Head of the verified copy that holds them, as `link digest`; null where none was named.</param>
public sealed record RunPruning(
    string RunId, DateTimeOffset At, string Person, string Reason, string TesterId, string MethodId, DateTimeOffset StartedAt, DateTimeOffset EndedAt, string? Verdict, long Records, string? Copy);
