using System.Globalization;
using Acquire.Service.Archive.Database;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Chain;

/// <summary>Gives records their place that are in the file without one: all of an archive from before there was a chain, and what an interrupted run left.</summary>
internal static class ChainSealing
{
    /// <summary>Begins the chain of an archive, inside the open transaction: a start, then everything that is in it, run by run.</summary>
    /// <param name="connection">The writer's connection.</param>
    /// <param name="fromVersion">Version of the content that was there before; 0 for an empty file.</param>
    /// <param name="now">When.</param>
    public static void Begin(SqliteConnection connection, long fromVersion, DateTimeOffset now)
    {
        using var chain = new ChainWriter(connection);
        var (at, archive) = (ArchiveStatements.Utc(now), Guid.NewGuid().ToString());
        Execute(connection, "INSERT INTO chain_start (at_utc, archive, from_version) VALUES ($at, $archive, $version)", ("$at", at), ("$archive", archive), ("$version", fromVersion));
        chain.Append(RecordKind.Start, 0, 0, at, archive, fromVersion);
        foreach (var run in Numbers(connection, "SELECT number FROM runs ORDER BY number"))
        {
            foreach (var kind in (RecordKind[])[RecordKind.Header, RecordKind.Chunk, RecordKind.Event, RecordKind.Closing, RecordKind.Interruption])
            {
                Seal(connection, chain, kind, run);
            }
        }
    }

    /// <summary>Marks runs that nobody closed as interrupted, in a transaction of its own, and gives what they left its place.</summary>
    /// <returns>How many there were.</returns>
    public static int MarkInterrupted(SqliteConnection connection, DateTimeOffset now)
    {
        ArchiveConnection.Scalar(connection, "BEGIN IMMEDIATE");
        using var chain = new ChainWriter(connection);
        var open = Numbers(connection, "SELECT number FROM runs WHERE closed_at_utc IS NULL AND interrupted_at_utc IS NULL ORDER BY number");
        foreach (var run in open)
        {
            Interrupt(connection, chain, run, HasEnd(connection, run), now);
        }

        ArchiveConnection.Scalar(connection, "COMMIT");
        return open.Count;
    }

    /// <summary>Whether the chain knows an end of the run. Where the run does not show it, somebody took it away: nothing more gets a place there, and a verification tells.</summary>
    public static bool HasEnd(SqliteConnection connection, long run) =>
        Numbers(connection, string.Create(CultureInfo.InvariantCulture, $"SELECT part FROM chain WHERE run = {run} AND kind IN ({RecordKind.Closing.Code}, {RecordKind.Interruption.Code})")).Count > 0;

    /// <summary>Marks one run as interrupted, inside the open transaction, and gives what it left its place.</summary>
    /// <param name="connection">The writer's connection.</param>
    /// <param name="chain">Its chain.</param>
    /// <param name="run">Number of the run.</param>
    /// <param name="hasEnd">What <see cref="HasEnd"/> says.</param>
    /// <param name="now">When.</param>
    public static void Interrupt(SqliteConnection connection, ChainWriter chain, long run, bool hasEnd, DateTimeOffset now)
    {
        if (!hasEnd)
        {
            Seal(connection, chain, RecordKind.Chunk, run);
        }

        Execute(connection, "UPDATE runs SET interrupted_at_utc = $now WHERE number = $run", ("$now", ArchiveStatements.Utc(now)), ("$run", run));
        if (!hasEnd)
        {
            Seal(connection, chain, RecordKind.Interruption, run);
        }
    }

    private static void Seal(SqliteConnection connection, ChainWriter chain, RecordKind kind, long run)
    {
        using var select = connection.CreateCommand();
        select.CommandText = kind.Select;
        select.Parameters.AddWithValue("$run", run);
        var part = select.Parameters.AddWithValue("$part", 0L);
        foreach (var number in Parts(connection, kind, run))
        {
            part.Value = number;
            using var row = select.ExecuteReader();
            if (row.Read())
            {
                chain.Append(kind, run, number, row);
            }
        }
    }

    // Only those without a place: of an interrupted run that is the chunk that was still growing.
    private static List<long> Parts(SqliteConnection connection, RecordKind kind, long run) =>
        Numbers(connection, string.Create(CultureInfo.InvariantCulture, $"SELECT u.part FROM ({kind.SelectUnlinked}) AS u WHERE u.run = {run} ORDER BY u.part"));

    private static List<long> Numbers(SqliteConnection connection, string sql)
    {
        using var command = connection.CreateCommand();
        command.CommandText = sql;
        using var reader = command.ExecuteReader();
        var numbers = new List<long>();
        while (reader.Read())
        {
            numbers.Add(reader.GetInt64(0));
        }

        return numbers;
    }

    private static void Execute(SqliteConnection connection, string sql, params ReadOnlySpan<(string Name, object Value)> values)
    {
        using var command = connection.CreateCommand();
        command.CommandText = sql;
        foreach (var (name, value) in values)
        {
            command.Parameters.AddWithValue(name, value);
        }

        command.ExecuteNonQuery();
    }
}
