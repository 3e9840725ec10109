namespace Acquire.Service.Archive.Keeping;

/// <summary>That runs are to be pruned.</summary>
/// <param name="Person">Who answers for it.</param>
/// <param name="Reason">Why; 1 to 500 printable characters.</param>
/// <param name="OlderThanDays">Only runs that ended more days ago; null: as long as the laboratory keeps them.</param>
/// <param name="Copy">A copy that holds what is taken away; null where <paramref name="ForGood"/>.</param>
/// <param name="ForGood">That what is taken away is to be nowhere any longer.</param>
public sealed record PruneOrder(string Person, string Reason, int? OlderThanDays, string? Copy, bool ForGood);
