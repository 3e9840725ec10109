using System.Globalization;
using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Core.Thermometry;
using Acquire.Service.Archive.Corrections;
using Acquire.Service.Archive.Curves;
using Acquire.Service.Archive.Database;
using Acquire.Service.Archive.Exports;
using Acquire.Service.Archive.Keeping;
using Acquire.Service.Archive.Rows;
using Acquire.Service.Live;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive;

/// <summary>Reads the archive. Each read has its own connection that cannot write, and ends before the result is used.</summary>
internal sealed partial class ArchiveReader(string path)
{
    private const int ChunksPerRead = 16;

    /// <summary>Runs of a filter, newest start first. What is damaged in one is told with it, and holds up no other.</summary>
    public List<RunSummary> List(RunFilter filter) => Read("(list)", connection =>
    {
        using var command = connection.CreateCommand();
        command.CommandText = $"WITH chosen AS ({RunListQuery.Build(connection, command, filter)}) {SummaryReader.Columns} JOIN chosen USING (number) ORDER BY r.started_at_utc DESC, r.number DESC";
        using var reader = command.ExecuteReader();
        var runs = new List<RunSummary>();
        while (reader.Read())
        {
            runs.Add(SummaryReader.Read(reader).Summary);
        }

        return runs;
    });

    /// <summary>All runs, or those of a tester, oldest start first, with that start; null where it is no time. Nothing else of them is read, so damage to one holds up no other.</summary>
    public List<(string Id, DateTimeOffset? StartedAt)> Begun(string? testerId) => Read("(list)", connection =>
    {
        using var command = Command(connection, "SELECT id, started_at_utc FROM runs WHERE $tester IS NULL OR tester_id = $tester ORDER BY started_at_utc, number", ("$tester", testerId));
        using var reader = command.ExecuteReader();
        var runs = new List<(string, DateTimeOffset?)>();
        while (reader.Read())
        {
            runs.Add((reader.GetString(0), TryUtc(reader.GetString(1))));
        }

        return runs;
    });

    /// <summary>Runs that ended before a time, and which of them are on hold.</summary>
    public PrunableRuns PrunableBefore(DateTimeOffset ended) => Read("(list)", connection => KeepingReader.EndedBefore(connection, ended));

    /// <summary>How a run was pruned; null where it was not.</summary>
    public RunPruning? Pruning(string id) => Read(id, connection => KeepingReader.Find(connection, id));

    /// <summary>The run with its events as of one moment; null where there is no such run.</summary>
    public RunDetail? Find(string id) => Read(id, connection =>
    {
        using var moment = connection.BeginTransaction(deferred: true);
        using var command = Command(connection, $"{SummaryReader.Columns} WHERE r.id = $id", ("$id", id));
        using var reader = command.ExecuteReader();
        if (!reader.Read())
        {
            return null;
        }

        var number = reader.GetInt64(SummaryReader.Number);
        var (plan, closing) = PlanAndResult(connection, id, number);
        if (ThermometerRules.Check(plan.Thermometer, plan.Thermometer.NeedsJunction) is [var wrong, ..])
        {
            throw new ArchiveCorruptException(id, "its plan", $"its thermometer cannot be: {wrong}");
        }

        var (summary, damage) = SummaryReader.Read(reader);
        if (damage is [var first, ..])
        {
            throw first;
        }

        var audit = AuditReader.Read(connection, id, number, closing);
        return new RunDetail(summary, plan, Events(connection, id, number, 0), ThermometerWords.Steps(plan.Thermometer), summary.Result is { } result ? RunStatement.Of(result, audit.Plan(plan)) : null)
        {
            Audit = audit,
        };
    });

    /// <summary>The run's line in a list; null where there is no such run. What is damaged of it is left out and told.</summary>
    public RunSummary? Summary(string id) => Read(id, connection =>
    {
        using var command = Command(connection, $"{SummaryReader.Columns} WHERE r.id = $id", ("$id", id));
        using var reader = command.ExecuteReader();
        return reader.Read() ? SummaryReader.Read(reader).Summary : null;
    });

    /// <summary>The run's key and the rows committed so far; null where there is no such run.</summary>
    public (long Number, long Rows)? FindExtent(string id) => Read<(long, long)?>(id, connection =>
    {
        using var command = Command(connection, $"{SummaryReader.Columns} WHERE r.id = $id", ("$id", id));
        using var reader = command.ExecuteReader();
        return reader.Read() ? (reader.GetInt64(SummaryReader.Number), reader.GetInt64(SummaryReader.Rows)) : null;
    });

    /// <summary>Where the run's record comes from; null where there is no such run.</summary>
    public RunProvenance? Provenance(string id) => Read(id, connection =>
    {
        using var command = Command(connection, "SELECT software_version, source, (SELECT archive FROM chain_start LIMIT 1) FROM runs WHERE id = $id", ("$id", id));
        using var reader = command.ExecuteReader();
        return reader.Read() ? new RunProvenance(reader.IsDBNull(2) ? "" : reader.GetString(2), reader.GetString(0), reader.GetString(1)) : null;
    });

    /// <summary>The run's curve in stretches of time, a row of the answer each; null where there is no such run.</summary>
    public RunCurve? Curve(string id, int width) => Read(id, connection => CurveReader.Read(connection, id, width));

    /// <summary>The run's events from a sequence number on.</summary>
    public List<RunOutput> Events(string id, long number, int from) => Read(id, connection => Events(connection, id, number, from));

    /// <summary>The first rows of a run in order, as many as asked; what is appended meanwhile is left out.</summary>
    public IEnumerable<ReadingRow> Rows(string id, long number, long count)
    {
        var next = 0L;
        for (var chunk = 0L; next < count; chunk += ChunksPerRead)
        {
            var page = Read(id, connection => Chunks(connection, number, chunk));
            if (page.Count == 0)
            {
                throw new ArchiveCorruptException(id, Part(chunk), $"it is missing, with the rows from {next} to {count - 1}");
            }

            foreach (var row in page.SelectMany(stored => Decode(id, stored, next)))
            {
                if (next == count)
                {
                    yield break;
                }

                next++;
                yield return row;
            }
        }
    }

    /// <summary>What SQLite finds wrong with the file, one sentence each; empty where there is nothing.</summary>
    public List<string> FileFaults() => Read("(all)", connection => Texts(connection, "PRAGMA integrity_check").Where(text => text != "ok").ToList());

    /// <summary>Ids of all runs, oldest first.</summary>
    public List<string> Ids() => Read("(all)", connection => Texts(connection, "SELECT id FROM runs ORDER BY number"));

    // Damage that SQLite notices is told like damage that we notice.
    private T Read<T>(string runId, Func<SqliteConnection, T> read)
    {
        try
        {
            using var connection = ArchiveConnection.OpenReader(path);
            return read(connection);
        }
        catch (SqliteException exception) when (SqliteFault.IsDamage(exception))
        {
            throw new ArchiveCorruptException(runId, "the database file", exception.Message, exception);
        }
    }

    private static List<string> Texts(SqliteConnection connection, string sql)
    {
        using var command = Command(connection, sql);
        using var reader = command.ExecuteReader();
        var texts = new List<string>();
        while (reader.Read())
        {
            texts.Add(reader.GetString(0));
        }

        return texts;
    }

    private static string Part(long chunk) => string.Create(CultureInfo.InvariantCulture, $"chunk {chunk}");

    private static ReadingRow[] Decode(string id, StoredChunk stored, long next)
    {
        var part = Part(stored.Number);
        if (stored.FirstRow != next)
        {
            throw new ArchiveCorruptException(id, part, $"it begins at row {stored.FirstRow} where row {next} is due");
        }

        if (stored.Body is null)
        {
            throw new ArchiveCorruptException(id, part, $"it is longer than the {RowChunk.MostBytes} bytes a chunk can have");
        }

        var rows = RowChunk.Decode(stored.Body, out var fault) ?? throw new ArchiveCorruptException(id, part, fault!);
        return rows.Length == stored.Rows ? rows : throw new ArchiveCorruptException(id, part, $"it holds {rows.Length} rows where {stored.Rows} are announced");
    }

    private static (RunPlan Plan, string? Closing) PlanAndResult(SqliteConnection connection, string id, long number)
    {
        using var command = Command(connection, "SELECT plan, result FROM runs WHERE number = $run", ("$run", number));
        using var reader = command.ExecuteReader();
        _ = reader.Read();
        return (ArchiveJson.Read<RunPlan>(reader.GetString(0), id, "its plan"), reader.IsDBNull(1) ? null : reader.GetString(1));
    }

    private static List<RunOutput> Events(SqliteConnection connection, string id, long number, int from)
    {
        using var command = Command(connection, "SELECT sequence, body FROM events WHERE run = $run AND sequence >= $from ORDER BY sequence", ("$run", number), ("$from", from));
        using var reader = command.ExecuteReader();
        var events = new List<RunOutput>();
        while (reader.Read())
        {
            events.Add(ArchiveJson.Read<RunOutput>(reader.GetString(1), id, string.Create(CultureInfo.InvariantCulture, $"event {reader.GetInt64(0)}")));
        }

        return events;
    }

    private static List<StoredChunk> Chunks(SqliteConnection connection, long run, long from)
    {
        using var command = Command(
            connection,
            "SELECT chunk, first_row, row_count, length(body), body FROM chunks WHERE run = $run AND chunk >= $from AND chunk < $to ORDER BY chunk",
            ("$run", run),
            ("$from", from),
            ("$to", from + ChunksPerRead));
        using var reader = command.ExecuteReader();
        var chunks = new List<StoredChunk>();
        while (reader.Read())
        {
            chunks.Add(new(reader.GetInt64(0), reader.GetInt64(1), reader.GetInt64(2), reader.GetInt64(3) <= RowChunk.MostBytes ? reader.GetFieldValue<byte[]>(4) : null));
        }

        return chunks;
    }

    internal static DateTimeOffset Utc(string id, string part, string text) => TryUtc(text) ?? throw new ArchiveCorruptException(id, part, $"'{text}' is not a time");

    private static DateTimeOffset? TryUtc(string text) =>
        DateTimeOffset.TryParseExact(text, "O", CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal | DateTimeStyles.AdjustToUniversal, out var at) ? at : null;

    private static SqliteCommand Command(SqliteConnection connection, string sql, params ReadOnlySpan<(string Name, object? Value)> values)
    {
        var command = connection.CreateCommand(); // takes the connection's open transaction with it
        command.CommandText = sql;
        foreach (var (name, value) in values)
        {
            command.Parameters.Add(new SqliteParameter(name, value ?? DBNull.Value));
        }

        return command;
    }

    private sealed record StoredChunk(long Number, long FirstRow, long Rows, byte[]? Body);
}
