using System.Globalization;
using Acquire.Service.Archive.Chain;
using Acquire.Service.Archive.Database;

namespace Acquire.Service.Archive.Keeping;

/// <summary>Adds holds and prunes runs, each with its place in the chain. Used by the writer's thread only.</summary>
internal sealed class KeepingStatements(RecordStatements records)
{
    // Tables whose rows go with their run; the run's own row last, because the others refer to it.
    private static readonly string[] PrunedTables =
        [.. RecordKind.All.Where(kind => kind.GoesWithPruning).Select(kind => kind.Table).Distinct().Where(table => table != RecordKind.Header.Table), RecordKind.Header.Table];

    /// <summary>How many holds and releases the run has.</summary>
    public int HoldsOf(long run) => records.Count(RecordKind.Hold, run);

    /// <summary>Adds a hold or a release.</summary>
    public void Insert(long run, RunHold hold) => records.Insert(
        RecordKind.Hold, run, hold.Number, run, hold.Number, ArchiveStatements.Utc(hold.At), hold.Person, hold.Held ? 1 : 0, hold.Reason);

    /// <summary>Why a run cannot be pruned now; null where it can.</summary>
    public string? WhyNotPruned(long run, RunPruning pruning) =>
        records.Number("SELECT number FROM runs WHERE number = $0 AND id = $1", run, pruning.RunId) is null ? "it is not there"
        : records.Number("SELECT number FROM runs WHERE number = $0 AND coalesce(closed_at_utc, interrupted_at_utc) = $1", run, ArchiveStatements.Utc(pruning.EndedAt)) is null ? "it has not ended, or not when it was said"
        : records.Number("SELECT held FROM holds WHERE run = $0 ORDER BY number DESC LIMIT 1", run) is 1 ? "it is on hold"
        : null;

    /// <summary>Takes a run's records away and says so in the record.</summary>
    public void Prune(long run, RunPruning pruning)
    {
        var gone = records.Number(string.Create(CultureInfo.InvariantCulture, $"SELECT count(*) FROM chain WHERE run = $0 AND kind <> {RecordKind.Hold.Code}"), run)!.Value;
        foreach (var table in PrunedTables)
        {
            records.Execute($"DELETE FROM {table} WHERE {(table == RecordKind.Header.Table ? "number" : "run")} = $0", run);
        }

        records.Insert(
            RecordKind.Pruning, run, 0, run, pruning.RunId, ArchiveStatements.Utc(pruning.At), pruning.Person, pruning.Reason, pruning.TesterId, pruning.MethodId,
            ArchiveStatements.Utc(pruning.StartedAt), ArchiveStatements.Utc(pruning.EndedAt), pruning.Verdict, gone, pruning.Copy);
    }
}
