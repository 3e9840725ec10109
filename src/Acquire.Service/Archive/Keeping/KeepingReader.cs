using Acquire.Service.Archive.Database;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Keeping;

/// <summary>Reads what may be pruned, and what was.</summary>
internal static class KeepingReader
{
    private const string Ended = """
        SELECT r.id, r.tester_id, r.method_id, r.started_at_utc, coalesce(r.closed_at_utc, r.interrupted_at_utc),
            coalesce((SELECT verdict FROM results WHERE run = r.number ORDER BY number DESC LIMIT 1), r.verdict), h.number, h.at_utc, h.person, h.held, h.reason
        FROM runs r LEFT JOIN holds h ON h.run = r.number AND h.number = (SELECT max(number) FROM holds WHERE run = r.number)
        WHERE coalesce(r.closed_at_utc, r.interrupted_at_utc) < $before ORDER BY r.number
        """;

    /// <summary>Runs that ended before a time.</summary>
    public static PrunableRuns EndedBefore(SqliteConnection connection, DateTimeOffset before)
    {
        using var command = connection.CreateCommand();
        command.CommandText = Ended;
        command.Parameters.AddWithValue("$before", ArchiveStatements.Utc(before));
        using var row = command.ExecuteReader();
        var (runs, held) = (new List<PrunableRun>(), new Dictionary<string, RunHold>(StringComparer.Ordinal));
        while (row.Read())
        {
            var id = row.GetString(0);
            if (!row.IsDBNull(6) && row.GetInt64(9) != 0)
            {
                held[id] = new(row.GetInt32(6), ArchiveReader.Utc(id, "its hold", row.GetString(7)), row.GetString(8), Held: true, row.GetString(10));
                continue;
            }

            runs.Add(new(id, row.GetString(1), row.GetString(2), ArchiveReader.Utc(id, "its start", row.GetString(3)), ArchiveReader.Utc(id, "its end", row.GetString(4)), row.IsDBNull(5) ? null : row.GetString(5)));
        }

        return new(runs, held);
    }

    /// <summary>How a run was pruned; null where it was not.</summary>
    public static RunPruning? Find(SqliteConnection connection, string id)
    {
        using var command = connection.CreateCommand();
        command.CommandText = "SELECT id, at_utc, person, reason, tester_id, method_id, started_at_utc, ended_at_utc, verdict, records, copy FROM prunings WHERE id = $id";
        command.Parameters.AddWithValue("$id", id);
        using var row = command.ExecuteReader();
        return !row.Read() ? null : new(
            row.GetString(0), ArchiveReader.Utc(id, "its pruning", row.GetString(1)), row.GetString(2), row.GetString(3), row.GetString(4), row.GetString(5),
            ArchiveReader.Utc(id, "its pruning", row.GetString(6)), ArchiveReader.Utc(id, "its pruning", row.GetString(7)),
            row.IsDBNull(8) ? null : row.GetString(8), row.GetInt64(9), row.IsDBNull(10) ? null : row.GetString(10));
    }
}
