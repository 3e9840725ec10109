using System.Globalization;
using Acquire.Core.Runs;
using Acquire.Service.Archive.Corrections;
using Acquire.Service.Archive.Database;
using Acquire.Service.Archive.Rows;
using Acquire.Core.Results;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Influx.Feeding;

/// <summary>Reads the archive for handing on: how far runs are archived, and their records from a place on. Each read has its own connection that cannot write, and is short.</summary>
/// <param name="path">The archive's file.</param>
internal sealed class ArchiveFeed(string path)
{
    private const string RunColumns = """
        SELECT r.number, r.id, r.tester_id, r.method_id, r.started_at_utc, r.scouting, r.closed_at_utc IS NOT NULL, r.interrupted_at_utc IS NOT NULL,
            coalesce((SELECT c.first_row + c.row_count FROM chunks c WHERE c.run = r.number ORDER BY c.chunk DESC LIMIT 1), 0),
            coalesce((SELECT e.sequence + 1 FROM events e WHERE e.run = r.number ORDER BY e.sequence DESC LIMIT 1), 0),
            (SELECT count(*) FROM corrections o WHERE o.run = r.number)
        FROM runs r
        """;

    /// <summary>Runs behind a number in order, at most so many.</summary>
    public List<FeedRun> RunsAfter(long number, int most) => Runs("WHERE r.number > $0 ORDER BY r.number LIMIT $1", number, most);

    /// <summary>The runs that are open.</summary>
    public List<FeedRun> OpenRuns() => Runs("WHERE r.closed_at_utc IS NULL AND r.interrupted_at_utc IS NULL ORDER BY r.number");

    /// <summary>Runs up to a number that were interrupted, or were corrected after they were closed: those that may have grown although they had ended.</summary>
    public List<FeedRun> Reopened(long upTo) => Runs(
        "WHERE r.number <= $0 AND (r.closed_at_utc IS NULL OR r.number IN (SELECT o.run FROM corrections o)) ORDER BY r.number", upTo);

    /// <summary>One run; null where there is none.</summary>
    public FeedRun? Find(string id) => Runs("WHERE r.id = $0", id).SingleOrDefault();

    /// <summary>The run of a number; null where there is none.</summary>
    public FeedRun? Find(long number) => Runs("WHERE r.number = $0", number).SingleOrDefault();

    /// <summary>Ids of the runs that were pruned and were not imported again.</summary>
    public List<string> Pruned() => Read(connection =>
    {
        using var command = Command(connection, "SELECT id FROM prunings WHERE id NOT IN (SELECT id FROM runs)");
        using var reader = command.ExecuteReader();
        var ids = new List<string>();
        while (reader.Read())
        {
            ids.Add(reader.GetString(0));
        }

        return ids;
    });

    /// <summary>Runs, and rows of theirs, behind a number.</summary>
    public (long Runs, long Rows) Behind(long number) => Read(connection =>
    {
        using var command = Command(
            connection, "SELECT count(*), coalesce(sum((SELECT c.first_row + c.row_count FROM chunks c WHERE c.run = r.number ORDER BY c.chunk DESC LIMIT 1)), 0) FROM runs r WHERE r.number > $0", number);
        using var reader = command.ExecuteReader();
        _ = reader.Read();
        return (reader.GetInt64(0), reader.GetInt64(1));
    });

    /// <summary>How many corrections there are in all.</summary>
    public long Corrections() => Read(connection => (long)Command(connection, "SELECT count(*) FROM corrections").ExecuteScalar()!);

    /// <summary>Numbers and ids of all runs, by number; those that were pruned among them, whose numbers are never given again.</summary>
    public List<(long Number, string Id)> Ids() => Read(connection =>
    {
        using var command = Command(connection, "SELECT number, id FROM runs UNION ALL SELECT run, id FROM prunings ORDER BY number");
        using var reader = command.ExecuteReader();
        var ids = new List<(long, string)>();
        while (reader.Read())
        {
            ids.Add((reader.GetInt64(0), reader.GetString(1)));
        }

        return ids;
    });

    /// <summary>The next rows of a run in order, up to a whole number of chunks; null where there are none. Rows that cannot be read are told and passed over.</summary>
    public FeedRows? Rows(long run, RowPlace place)
    {
        return Read(connection =>
        {
            using var command = Command(
                connection,
                "SELECT chunk, first_row, row_count, length(body), body FROM chunks WHERE run = $0 AND chunk >= $1 AND first_row + row_count > $2 ORDER BY chunk LIMIT 1", run, place.Chunk, place.Row);
            using var reader = command.ExecuteReader();
            return reader.Read() ? Decode(reader, place, reader.GetInt64(0), reader.GetInt64(1), reader.GetInt64(2)) : null;
        });
    }

    private static FeedRows Decode(SqliteDataReader reader, RowPlace place, long chunk, long first, long count)
    {
        // The newest chunk still grows: going on means to look into it again.
        var next = new RowPlace(chunk, first + count);
        var fault = "it is longer than a chunk can be";
        var rows = reader.GetInt64(3) <= RowChunk.MostBytes ? RowChunk.Decode(reader.GetFieldValue<byte[]>(4), out fault) : null;
        if (rows is null || rows.Length != count)
        {
            return new(next.Row, default, next, next.Row - place.Row, string.Create(CultureInfo.InvariantCulture, $"not sent: chunk {chunk} of the archive cannot be read: {fault ?? "it holds another number of rows than announced"}"));
        }

        return first > place.Row
            ? new(first, rows, next, first - place.Row, string.Create(CultureInfo.InvariantCulture, $"not sent: the archive has no rows {place.Row} to {first - 1}"))
            : new(place.Row, rows.AsMemory((int)(place.Row - first)), next);
    }

    /// <summary>The place of a row in a run.</summary>
    public RowPlace PlaceOf(long run, long row) => Read(connection =>
    {
        using var command = Command(connection, "SELECT coalesce(max(chunk), 0) FROM chunks WHERE run = $0 AND first_row <= $1", run, row);
        return new RowPlace((long)command.ExecuteScalar()!, row);
    });

    /// <summary>The next facts of a run in order; a fact that cannot be read has a fault in its place.</summary>
    public List<(long Sequence, RunOutput? Fact, string? Fault)> Events(FeedRun run, long from, int most) => Read(connection =>
    {
        using var command = Command(connection, "SELECT sequence, body FROM events WHERE run = $0 AND sequence >= $1 ORDER BY sequence LIMIT $2", run.Number, from, most);
        using var reader = command.ExecuteReader();
        var events = new List<(long, RunOutput?, string?)>();
        while (reader.Read())
        {
            try
            {
                events.Add((reader.GetInt64(0), ArchiveJson.Read<RunOutput>(reader.GetString(1), run.Id, "an event"), null));
            }
            catch (ArchiveCorruptException damage)
            {
                events.Add((reader.GetInt64(0), null, $"not sent: it cannot be read from the archive: {damage.Message}"));
            }
        }

        return events;
    });

    /// <summary>The results of a closed run, from one on. Throws <see cref="ArchiveCorruptException"/> where they cannot be read.</summary>
    public List<FeedResult> Results(FeedRun run, long from) => Read(connection =>
    {
        using var moment = connection.BeginTransaction(deferred: true);
        using var command = Command(connection, "SELECT result, closed_at_utc, specimen, plan FROM runs WHERE number = $0 AND closed_at_utc IS NOT NULL", run.Number);
        using var reader = command.ExecuteReader();
        if (!reader.Read())
        {
            return [];
        }

        var (closing, closedAt, specimen) = (reader.GetString(0), ArchiveReader.Utc(run.Id, "its end", reader.GetString(1)), reader.GetString(2));
        var plan = ArchiveJson.Read<RunPlan>(reader.GetString(3), run.Id, "its plan");
        var audit = AuditReader.Read(connection, run.Id, run.Number, closing);
        var results = new List<FeedResult>();
        for (var index = from; index <= audit.Corrections.Count; index++)
        {
            var stood = new RunAudit([.. audit.Corrections.Take((int)index)], [.. audit.Results.Where(later => later.Correction <= index)], []);
            var result = stood.Results is [.., var newest] ? newest.Result : ArchiveJson.Read<RunResult>(closing, run.Id, "its result");
            results.Add(new(index, index == 0 ? closedAt : stood.Corrections[^1].At, stood.Newest(CorrectedField.Specimen) ?? specimen, stood.Plan(plan).ExpectedFlashCelsius, result));
        }

        return results;
    });

    private List<FeedRun> Runs(string where, params object[] values) => Read(connection =>
    {
        using var command = Command(connection, $"{RunColumns} {where}", values);
        using var reader = command.ExecuteReader();
        var runs = new List<FeedRun>();
        while (reader.Read())
        {
            var id = reader.GetString(1);
            runs.Add(new(
                reader.GetInt64(0), id, reader.GetString(2), reader.GetString(3), Start(reader.GetString(4)),
                reader.GetInt64(5) != 0, reader.GetInt64(6) != 0, reader.GetInt64(7) != 0, reader.GetInt64(8), reader.GetInt64(9), reader.GetInt64(10)));
        }

        return runs;
    });

    // A start that is no time must not hold up the other runs: no point of this one can have a timestamp, and that is told.
    private static DateTimeOffset Start(string text) =>
        DateTimeOffset.TryParseExact(text, "O", CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal | DateTimeStyles.AdjustToUniversal, out var at) ? at : DateTimeOffset.MinValue;

    private T Read<T>(Func<SqliteConnection, T> read)
    {
        using var connection = ArchiveConnection.OpenReader(path);
        return read(connection);
    }

    private static SqliteCommand Command(SqliteConnection connection, string sql, params object[] values)
    {
        var command = connection.CreateCommand();
        command.CommandText = sql;
        for (var i = 0; i < values.Length; i++)
        {
            command.Parameters.AddWithValue($"${i}", values[i]);
        }

        return command;
    }
}
