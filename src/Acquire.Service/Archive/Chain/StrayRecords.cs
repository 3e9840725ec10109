using Acquire.Service.Archive.Database;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Chain;

/// <summary>Finds what is in the archive and has no place in the chain.</summary>
internal static class StrayRecords
{
    // The newest chunk of a run that is open still grows: it gets its place when it is full or the run ends.
    private const string Growing = """
        SELECT c.run, max(c.chunk) FROM chunks AS c JOIN runs AS r ON r.number = c.run
        WHERE r.closed_at_utc IS NULL AND r.interrupted_at_utc IS NULL GROUP BY c.run
        """;

    /// <summary>Tells records without a place.</summary>
    /// <param name="connection">A connection with an open read.</param>
    /// <param name="names">Ids of runs.</param>
    /// <param name="faults">Told each of them.</param>
    /// <param name="notProved">Told which readings of open runs have no place yet.</param>
    public static void Tell(SqliteConnection connection, RunNames names, FaultList faults, List<string> notProved)
    {
        var growing = Read(connection, Growing).ToDictionary(row => row.First, row => row.Second);
        foreach (var kind in RecordKind.In(ArchiveSchema.VersionOf(connection)))
        {
            foreach (var (run, part) in Read(connection, kind.SelectUnlinked))
            {
                if (kind == RecordKind.Chunk && growing.TryGetValue(run, out var newest) && newest == part)
                {
                    notProved.Add($"Run '{names.Of(run)}' is open: its newest readings, {ArchiveFault.Name(kind, part)}, have no place in the chain yet. They get it when the chunk is full or the run ends.");
                    continue;
                }

                faults.Add(kind == RecordKind.Start ? null : names.Of(run), ArchiveFault.Name(kind, part), "inserted: it has no place in the chain");
            }
        }

        Starts(connection, faults);
        foreach (var name in Objects(connection).Except(ArchiveSchema.Names, StringComparer.Ordinal))
        {
            faults.Add(null, $"'{name}'", "a table, index, view or trigger that this program does not make; a trigger can change records");
        }
    }

    private static void Starts(SqliteConnection connection, FaultList faults)
    {
        if (ArchiveConnection.Scalar(connection, "SELECT count(*) FROM chain_start") is not ("0" or "1"))
        {
            faults.Add(null, ArchiveFault.Name(RecordKind.Start, 0), "inserted: there is more than one");
        }
    }

    private static List<string> Objects(SqliteConnection connection)
    {
        using var command = connection.CreateCommand();
        command.CommandText = "SELECT name FROM sqlite_schema WHERE name NOT LIKE 'sqlite\\_%' ESCAPE '\\'";
        using var reader = command.ExecuteReader();
        var names = new List<string>();
        while (reader.Read())
        {
            names.Add(reader.GetString(0));
        }

        return names;
    }

    private static List<(long First, long Second)> Read(SqliteConnection connection, string sql)
    {
        using var command = connection.CreateCommand();
        command.CommandText = sql;
        using var reader = command.ExecuteReader();
        var rows = new List<(long, long)>();
        while (reader.Read())
        {
            rows.Add((reader.GetInt64(0), reader.GetInt64(1)));
        }

        return rows;
    }
}
