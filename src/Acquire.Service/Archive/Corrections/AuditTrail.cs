using Acquire.Service.Archive.Chain;
using Acquire.Service.Archive.Database;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Corrections;

/// <summary>Something that a person added to a run after it had ended.</summary>
/// <param name="Link">Its place in the chain.</param>
/// <param name="AtUtc">When, as stored.</param>
/// <param name="RunId">The run.</param>
/// <param name="Person">Who.</param>
/// <param name="Act">What, in words, with old and new value.</param>
/// <param name="Reason">Why; null where no reason is asked for.</param>
public sealed record AuditEntry(long Link, string AtUtc, string RunId, string Person, string Act, string? Reason);

/// <summary>Reads the audit trail of an archive.</summary>
public static class AuditTrail
{
    private const string Entries = """
        SELECT c.link, a.at_utc, coalesce((SELECT id FROM runs WHERE number = a.run), (SELECT id FROM prunings WHERE run = a.run), 'run number ' || a.run), a.person, a.act, a.reason
        FROM (
            SELECT 7 AS kind, run, number AS part, at_utc, person, 'corrected ' || field || ' from ' || coalesce('''' || old_value || '''', 'nothing') || ' to ''' || new_value || '''' AS act, reason FROM corrections
            UNION ALL SELECT 9, run, number, at_utc, person, 'approved with ' || corrections || ' corrections', NULL FROM approvals
            UNION ALL SELECT 10, run, number, at_utc, person, 'imported from archive ' || origin_archive, reason FROM imports
            UNION ALL SELECT 11, run, number, at_utc, person, iif(held, 'put on hold', 'released from hold'), reason FROM holds
            UNION ALL SELECT 12, run, 0, at_utc, person, 'pruned ' || records || ' records of ' || started_at_utc || iif(copy IS NULL, ', for good', ', held by the copy that ends at link ' || copy), reason FROM prunings
        ) AS a LEFT JOIN chain AS c ON c.run = a.run AND c.kind = a.kind AND c.part = a.part
        ORDER BY c.link
        """;

    /// <summary>All entries, in the order of the chain.</summary>
    /// <param name="path">The archive; the service may write meanwhile.</param>
    /// <param name="runId">Only of this run; null for all.</param>
    /// <exception cref="ArchiveRefusedException">The file is not there, is no archive, is of an older version, or cannot be read.</exception>
    public static IReadOnlyList<AuditEntry> Read(string path, string? runId)
    {
        try
        {
            using var connection = ChainFile.Open(path);
            if (ArchiveSchema.VersionOf(connection) < RecordKind.Pruning.SinceVersion)
            {
                throw new ArchiveRefusedException($"The archive {path} was written by an older program. The service takes it over when it is next started.");
            }

            return [.. Entry(connection).Where(entry => runId is null || entry.RunId == runId)];
        }
        catch (SqliteException exception)
        {
            throw new ArchiveRefusedException($"The archive {path} cannot be read: {SqliteFault.Explain(exception, path)}.", exception);
        }
    }

    private static IEnumerable<AuditEntry> Entry(SqliteConnection connection)
    {
        using var command = connection.CreateCommand();
        command.CommandText = Entries;
        using var row = command.ExecuteReader();
        while (row.Read())
        {
            yield return new(row.IsDBNull(0) ? -1 : row.GetInt64(0), row.GetString(1), row.GetString(2), row.GetString(3), row.GetString(4), row.IsDBNull(5) ? null : row.GetString(5));
        }
    }
}
