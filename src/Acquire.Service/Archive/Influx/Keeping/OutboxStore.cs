using System.Globalization;
using Acquire.Service.Archive.Influx.Lines;
using Acquire.Service.Configuration;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Influx.Keeping;

/// <summary>What is kept for one endpoint. Used by one caller at a time; another program may have the same file open.</summary>
internal sealed class OutboxStore : IDisposable
{
    private readonly SqliteConnection _connection;
    private readonly long _target;

    private OutboxStore(SqliteConnection connection, long target, string? putAside) => (_connection, _target, PutAside) = (connection, target, putAside);

    /// <summary>Where a damaged file was put before a new one was begun; null where there was none.</summary>
    public string? PutAside { get; }

    /// <summary>Every run up to this number was acknowledged as a whole.</summary>
    public long DoneThrough => (long)Ask("SELECT done_through FROM targets WHERE number = $target")!;

    /// <summary>When the server last had everything that was archived; null where it never did.</summary>
    public DateTimeOffset? CurrentAt => Ask("SELECT current_at_utc FROM targets WHERE number = $target") is string text ? At(text) : null;

    /// <summary>What stood in the way when last something did; null where nothing does.</summary>
    public string? Note => Ask("SELECT note FROM targets WHERE number = $target") as string;

    /// <summary>How many records are set aside.</summary>
    public long SetAsideCount => (long)Ask("SELECT coalesce(sum(count), 0) FROM set_aside WHERE target = $target")!;

    /// <summary>Opens what is kept for an endpoint. Throws <see cref="ArchiveRefusedException"/> and <see cref="SqliteException"/>.</summary>
    public static OutboxStore Open(string path, InfluxConfig influx, TimeProvider time)
    {
        var connection = OutboxFile.Open(path, time, out var putAside);
        try
        {
            return new(connection, OutboxFile.Target(connection, influx), putAside);
        }
        catch
        {
            connection.Dispose();
            throw;
        }
    }

    /// <summary>The cursor of a run; null where nothing of it was acknowledged.</summary>
    public OutboxCursor? Cursor(long run) => Cursors("run = $first", run).SingleOrDefault();

    /// <summary>All cursors, by run.</summary>
    public List<OutboxCursor> Cursors() => Cursors("run >= $first", 0);

    /// <summary>Notes in one go what was acknowledged, what was set aside, and what is done.</summary>
    /// <param name="cursors">Cursors that have moved.</param>
    /// <param name="aside">What was set aside.</param>
    /// <param name="taken">Stretches that were taken: what was set aside of them before is no longer.</param>
    /// <param name="currentAt">When the server last had everything.</param>
    public void Advance(IEnumerable<OutboxCursor> cursors, IEnumerable<SetAside> aside, IEnumerable<SetAside> taken, DateTimeOffset? currentAt) => InOne(() =>
    {
        foreach (var cursor in cursors)
        {
            Do(
                "INSERT INTO cursors VALUES ($target, $run, $id, $chunk, $rows, $events, $results) ON CONFLICT (target, run) DO UPDATE SET run_id = excluded.run_id, chunk = excluded.chunk, rows = excluded.rows, events = excluded.events, results = excluded.results",
                ("$run", cursor.Run), ("$id", cursor.RunId), ("$chunk", cursor.Rows.Chunk), ("$rows", cursor.Rows.Row), ("$events", cursor.Events), ("$results", cursor.Results));
        }

        new SetAsideRows(_connection, _target).Change(aside, taken);
        if (currentAt is { } at)
        {
            Do("UPDATE targets SET current_at_utc = $at WHERE number = $target", ("$at", Text(at)));
        }
    });

    /// <summary>Notes that every run up to a number is done.</summary>
    public void MoveDone(long through) => Do("UPDATE targets SET done_through = $through WHERE number = $target", ("$through", through));

    /// <summary>Notes what stands in the way; null where nothing does.</summary>
    public void Put(string? note) => Do("UPDATE targets SET note = $note WHERE number = $target AND note IS NOT $note", ("$note", note));

    /// <summary>Notes when the server last had everything.</summary>
    public void Put(DateTimeOffset currentAt) => Do("UPDATE targets SET current_at_utc = $at WHERE number = $target", ("$at", Text(currentAt)));

    /// <summary>Forgets what was acknowledged from a run on: the archive is not the one that it was acknowledged from.</summary>
    public void ForgetFrom(long run) => InOne(() =>
    {
        Do("DELETE FROM cursors WHERE target = $target AND run >= $run", ("$run", run));
        Do("UPDATE targets SET done_through = min(done_through, $run - 1) WHERE number = $target", ("$run", run));
    });

    /// <summary>What is set aside, at most so much, from behind a place on.</summary>
    public List<SetAside> SetAsides(int most, SetAside? after = null) => new SetAsideRows(_connection, _target).List(most, after);

    /// <summary>Ids of the runs of which something is set aside.</summary>
    public List<string> SetAsideRuns()
    {
        using var command = Command("SELECT DISTINCT run_id FROM set_aside WHERE target = $target");
        using var reader = command.ExecuteReader();
        var ids = new List<string>();
        while (reader.Read())
        {
            ids.Add(reader.GetString(0));
        }

        return ids;
    }

    /// <summary>Forgets what is set aside of runs.</summary>
    public void ForgetSetAside(IEnumerable<string> runs) => InOne(() =>
    {
        foreach (var run in runs)
        {
            Do("DELETE FROM set_aside WHERE target = $target AND run_id = $id", ("$id", run));
        }
    });

    /// <summary>How many records of a kind of a run are set aside.</summary>
    public long SetAsideOf(string runId, LineKind kind) =>
        (long)Ask("SELECT coalesce(sum(count), 0) FROM set_aside WHERE target = $target AND run_id = $id AND kind = $kind", ("$id", runId), ("$kind", (long)kind))!;

    public void Dispose() => _connection.Dispose();

    internal static string Text(DateTimeOffset at) => at.UtcDateTime.ToString("O", CultureInfo.InvariantCulture);

    internal static DateTimeOffset At(string text) => DateTimeOffset.Parse(text, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal | DateTimeStyles.AdjustToUniversal);

    private List<OutboxCursor> Cursors(string where, long first)
    {
        using var command = Command($"SELECT run, run_id, chunk, rows, events, results FROM cursors WHERE target = $target AND {where} ORDER BY run", ("$first", first));
        using var reader = command.ExecuteReader();
        var cursors = new List<OutboxCursor>();
        while (reader.Read())
        {
            cursors.Add(new(reader.GetInt64(0), reader.GetString(1), new(reader.GetInt64(2), reader.GetInt64(3)), reader.GetInt64(4), reader.GetInt64(5)));
        }

        return cursors;
    }

    private void InOne(Action change)
    {
        using var transaction = _connection.BeginTransaction();
        change();
        transaction.Commit();
    }

    private object? Ask(string sql, params ReadOnlySpan<(string Name, object? Value)> values)
    {
        using var command = Command(sql, values);
        return command.ExecuteScalar() is var value && value is DBNull ? null : value;
    }

    private void Do(string sql, params ReadOnlySpan<(string Name, object? Value)> values)
    {
        using var command = Command(sql, values);
        command.ExecuteNonQuery();
    }

    private SqliteCommand Command(string sql, params ReadOnlySpan<(string Name, object? Value)> values)
    {
        var command = _connection.CreateCommand();
        command.CommandText = sql;
        command.Parameters.AddWithValue("$target", _target);
        foreach (var (name, value) in values)
        {
            command.Parameters.AddWithValue(name, value ?? DBNull.Value);
        }

        return command;
    }
}
