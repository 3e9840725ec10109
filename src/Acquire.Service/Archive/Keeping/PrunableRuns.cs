namespace Acquire.Service.Archive.Keeping;

/// <summary>A run that has ended long enough ago.</summary>
/// <param name="Id">Its id.</param>
/// <param name="TesterId">Tester that made it.</param>
/// <param name="MethodId">Its method.</param>
/// <param name="StartedAt">When it began, UTC.</param>
/// <param name="EndedAt">When it was closed, or marked as interrupted, UTC.</param>
/// <param name="Verdict">The verdict that stands, as a word; null for a run without a result.</param>
public sealed record PrunableRun(string Id, string TesterId, string MethodId, DateTimeOffset StartedAt, DateTimeOffset EndedAt, string? Verdict);

/// <summary>Runs that ended long enough ago.</summary>
/// <param name="Runs">Those that are not on hold, oldest first.</param>
/// <param name="Held">Those that are, by id.</param>
public sealed record PrunableRuns(IReadOnlyList<PrunableRun> Runs, IReadOnlyDictionary<string, RunHold> Held);
