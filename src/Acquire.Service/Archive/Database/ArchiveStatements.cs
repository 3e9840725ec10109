using System.Globalization;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Service.Archive.Bundles;
using Acquire.Service.Archive.Chain;
using Acquire.Service.Archive.Corrections;
using Acquire.Service.Archive.Keeping;
using Acquire.Service.Archive.Rows;
using Acquire.Core.Readings;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Database;

/// <summary>The statements of the one writer, prepared once for its connection. Used by the writer's thread only.</summary>
internal sealed class ArchiveStatements : IDisposable
{
    private readonly SqliteConnection _connection;
    private readonly SqliteCommand _insertRun;
    private readonly SqliteCommand _closeRun;
    private readonly SqliteCommand _putEvent;
    private readonly SqliteCommand _putChunk;
    private readonly ChainWriter _chain;

    public ArchiveStatements(SqliteConnection connection)
    {
        _connection = connection;
        _chain = new ChainWriter(connection);
        var records = new RecordStatements(connection, _chain);
        (Corrections, Keeping) = (new CorrectionStatements(records), new KeepingStatements(records));
        Imports = new ImportStatements(connection, _chain);

        // A commit that failed late may be in the file all the same. What is written again after it must find its own traces and go on, or the run's lane would try for ever.
        _insertRun = Prepare(
            $"""
            INSERT INTO runs (number, id, tester_id, specimen, method_id, expected_flash_celsius, source, software_version, started_at_utc, plan, scouting, specification_celsius)
            VALUES ({NextNumber}, $id, $tester, $specimen, $method, $expected, $source, $version, $started, $plan, $scouting, $specification)
            ON CONFLICT (id) DO UPDATE SET plan = excluded.plan
                WHERE started_at_utc = excluded.started_at_utc AND plan = excluded.plan AND closed_at_utc IS NULL AND interrupted_at_utc IS NULL
                    AND NOT EXISTS (SELECT 1 FROM chunks WHERE run = number) AND NOT EXISTS (SELECT 1 FROM events WHERE run = number)
            RETURNING number
            """,
            "$id", "$tester", "$specimen", "$method", "$expected", "$source", "$version", "$started", "$plan", "$scouting", "$specification");
        _closeRun = Prepare(
            """
            UPDATE runs SET closed_at_utc = $closed, verdict = $verdict, reported_flash_celsius = $flash, reported_fire_celsius = $fire, result = $result
            WHERE number = $run AND (closed_at_utc IS NULL OR (closed_at_utc = $closed AND result = $result))
            """,
            "$run", "$closed", "$verdict", "$flash", "$fire", "$result");
        // "Put", not "insert": the newest chunk is rewritten until it is full, and a fact may be there from a commit that failed late.
        _putEvent = Prepare(
            """
            INSERT INTO events (run, sequence, at_seconds, kind, body) VALUES ($run, $sequence, $at, $kind, $body)
            ON CONFLICT (run, sequence) DO UPDATE SET at_seconds = excluded.at_seconds, kind = excluded.kind, body = excluded.body
            """,
            "$run", "$sequence", "$at", "$kind", "$body");
        _putChunk = Prepare(
            """
            INSERT INTO chunks (run, chunk, first_row, row_count, first_seconds, last_seconds, body) VALUES ($run, $chunk, $first, $count, $from, $to, $body)
            ON CONFLICT (run, chunk) DO UPDATE SET row_count = excluded.row_count, last_seconds = excluded.last_seconds, body = excluded.body
            """,
            "$run", "$chunk", "$first", "$count", "$from", "$to", "$body");
    }

    /// <summary>The number of the next run, in SQL. One that the chain or a pruning knows is never given again, also where somebody took its run away.</summary>
    public const string NextNumber = "1 + max((SELECT coalesce(max(number), 0) FROM runs), (SELECT coalesce(max(run), 0) FROM chain), (SELECT coalesce(max(run), 0) FROM prunings))";

    /// <summary>What is added to runs after they were closed.</summary>
    public CorrectionStatements Corrections { get; }

    /// <summary>What is kept longer, and what is pruned.</summary>
    public KeepingStatements Keeping { get; }

    /// <summary>Runs from other archives.</summary>
    public ImportStatements Imports { get; }

    /// <summary>UTC as stored.</summary>
    public static string Utc(DateTimeOffset at) => at.UtcDateTime.ToString("O", CultureInfo.InvariantCulture);

    public void Begin()
    {
        _chain.Forget();
        ArchiveConnection.Scalar(_connection, "BEGIN IMMEDIATE");
    }

    public void Commit() => ArchiveConnection.Scalar(_connection, "COMMIT");

    /// <summary>Ends a failed transaction; SQLite may have ended it already.</summary>
    public void Rollback()
    {
        _chain.Forget();
        if (SQLitePCL.raw.sqlite3_get_autocommit(_connection.Handle) == 0)
        {
            ArchiveConnection.Scalar(_connection, "ROLLBACK");
        }
    }

    /// <summary>Adds a run and gives its number; null where the id is taken by another run, or by one that has gone on.</summary>
    public long? InsertRun(RunHeader header, string plan)
    {
        ReadOnlySpan<object?> values =
        [
            header.Id, header.TesterId, header.Specimen, header.Plan.Method.Id, header.Plan.ExpectedFlashCelsius ?? 0, header.Source, header.SoftwareVersion, Utc(header.StartedAt), plan,
            header.Plan.Scouting ? 1 : 0, header.Plan.SpecificationCelsius,
        ];
        Fill(_insertRun, values);
        if ((long?)_insertRun.ExecuteScalar() is not { } number)
        {
            return null;
        }

        _chain.Append(RecordKind.Header, number, 0, [number, .. values]);
        return number;
    }

    /// <summary>Closes a run; false where it was closed before with another end.</summary>
    public bool CloseRun(long run, DateTimeOffset closedAt, RunResult result, string json)
    {
        ReadOnlySpan<object?> values = [run, Utc(closedAt), Word(result.Verdict), result.Flash?.ReportedCelsius, result.Fire?.ReportedCelsius, json];
        Fill(_closeRun, values);
        if (_closeRun.ExecuteNonQuery() != 1)
        {
            return false;
        }

        _chain.Append(RecordKind.Closing, run, 0, values);
        return true;
    }

    /// <summary>Marks a run as interrupted with the fact that says why; nothing where it has ended.</summary>
    public void Interrupt(long run, DateTimeOffset at, RunInterrupted fact, string json)
    {
        if (ArchiveConnection.Scalar(_connection, string.Create(CultureInfo.InvariantCulture, $"SELECT count(*) FROM runs WHERE number = {run} AND closed_at_utc IS NULL AND interrupted_at_utc IS NULL")) != "1")
        {
            return;
        }

        var hasEnd = ChainSealing.HasEnd(_connection, run);
        if (!hasEnd)
        {
            // Behind what the chain knows, also where somebody took the newest facts away: their places are not given again.
            var next = ArchiveConnection.Scalar(_connection, string.Create(CultureInfo.InvariantCulture,
                $"SELECT 1 + max((SELECT coalesce(max(sequence), -1) FROM events WHERE run = {run}), (SELECT coalesce(max(part), -1) FROM chain WHERE run = {run} AND kind = {RecordKind.Event.Code}))"))!;
            PutEvent(run, long.Parse(next, CultureInfo.InvariantCulture), fact, json);
        }

        ChainSealing.Interrupt(_connection, _chain, run, hasEnd, at);
    }

    /// <summary>The word under which a verdict is stored.</summary>
    public static string Word(Verdict verdict) => verdict.ToString().ToLowerInvariant();

    public void PutEvent(long run, long sequence, RunOutput output, string json)
    {
        ReadOnlySpan<object?> values = [run, sequence, output.AtSeconds, ArchiveJson.KindOf(output), json];
        Fill(_putEvent, values);
        _putEvent.ExecuteNonQuery();
        _chain.Append(RecordKind.Event, run, sequence, values);
    }

    /// <summary>Writes a chunk.</summary>
    /// <param name="run">Number of the run.</param>
    /// <param name="chunk">Which chunk.</param>
    /// <param name="firstRow">Index of its first row.</param>
    /// <param name="rows">Its rows.</param>
    /// <param name="final">Whether it will not grow any more: then it is given its place in the chain.</param>
    public void PutChunk(long run, long chunk, long firstRow, ReadOnlySpan<ReadingRow> rows, bool final)
    {
        ReadOnlySpan<object?> values = [run, chunk, firstRow, rows.Length, rows[0].AtSeconds, rows[^1].AtSeconds, RowChunk.Encode(rows)];
        Fill(_putChunk, values);
        _putChunk.ExecuteNonQuery();
        if (final)
        {
            _chain.Append(RecordKind.Chunk, run, chunk, values);
        }
    }

    /// <summary>Writes something that needs space, to learn whether the archive takes writes again.</summary>
    public void Probe(DateTimeOffset at)
    {
        using var command = Prepare("DELETE FROM probe; INSERT INTO probe (at_utc, filler) VALUES ($at, zeroblob(16384))", "$at");
        Fill(command, Utc(at));
        command.ExecuteNonQuery();
    }

    /// <summary>Leaves a sign of life: when rows were last committed.</summary>
    public void Sign(DateTimeOffset at)
    {
        using var command = Prepare("INSERT INTO probe (at_utc, filler) SELECT $at, x'' WHERE NOT EXISTS (SELECT 1 FROM probe); UPDATE probe SET at_utc = $at", "$at");
        Fill(command, Utc(at));
        command.ExecuteNonQuery();
    }

    /// <summary>Limits the size of the database file, bytes; null for no limit but the disk's.</summary>
    public void LimitSize(long? bytes) => ArchiveConnection.LimitSize(_connection, bytes);

    /// <summary>Copies the log into the database and cuts it back; false where a reader is in the way.</summary>
    public bool TruncateLog() => ArchiveConnection.Scalar(_connection, "PRAGMA wal_checkpoint(TRUNCATE)") == "0";

    public void Dispose()
    {
        _insertRun.Dispose();
        _closeRun.Dispose();
        _putEvent.Dispose();
        _putChunk.Dispose();
        _chain.Dispose();
        _connection.Dispose();
    }

    private static void Fill(SqliteCommand command, params ReadOnlySpan<object?> values)
    {
        for (var i = 0; i < values.Length; i++)
        {
            command.Parameters[i].Value = values[i] ?? DBNull.Value;
        }
    }

    private SqliteCommand Prepare(string sql, params ReadOnlySpan<string> names)
    {
        var command = _connection.CreateCommand();
        command.CommandText = sql;
        foreach (var name in names)
        {
            command.Parameters.Add(new SqliteParameter(name, null));
        }

        return command;
    }
}
