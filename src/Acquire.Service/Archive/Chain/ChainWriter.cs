using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Chain;

/// <summary>Adds links to the chain, in the transaction that writes their records. Used by the writer's thread only.</summary>
internal sealed class ChainWriter : IDisposable
{
    private readonly SqliteCommand _head;
    private readonly SqliteCommand _insert;
    private readonly SqliteCommand _find;
    private readonly RecordDigest _digest = new();
    private (long Number, byte[] Digest)? _newest;

    public ChainWriter(SqliteConnection connection)
    {
        _head = Prepare(connection, "SELECT link, digest FROM chain ORDER BY link DESC LIMIT 1");
        _insert = Prepare(
            connection,
            "INSERT INTO chain (link, kind, run, part, record, digest) VALUES ($link, $kind, $run, $part, $record, $digest) ON CONFLICT (run, kind, part) DO NOTHING",
            "$link", "$kind", "$run", "$part", "$record", "$digest");
        _find = Prepare(connection, "SELECT record FROM chain WHERE run = $run AND kind = $kind AND part = $part", "$run", "$kind", "$part");
    }

    /// <summary>Before each transaction and after a failed one: what is in the file decides, not what was meant to be.</summary>
    public void Forget() => _newest = null;

    /// <summary>Gives a record its place. A record that has it already, because a commit that failed late is in the file, keeps it.</summary>
    /// <param name="kind">Kind of the record.</param>
    /// <param name="run">Number of its run.</param>
    /// <param name="part">Which of the run's records of that kind.</param>
    /// <param name="values">What was written, in the order of the kind's fields.</param>
    /// <exception cref="InvalidOperationException">The place is taken by other content: a record would be overwritten.</exception>
    public void Append(RecordKind kind, long run, long part, params ReadOnlySpan<object?> values) => Append(kind, run, part, _digest.Of(kind, values));

    /// <summary>Gives a record that is in the file already its place.</summary>
    public void Append(RecordKind kind, long run, long part, SqliteDataReader row) => Append(kind, run, part, _digest.Of(kind, row));

    public void Dispose()
    {
        _head.Dispose();
        _insert.Dispose();
        _find.Dispose();
    }

    private void Append(RecordKind kind, long run, long part, byte[] record)
    {
        var (newest, before) = _newest ??= ReadHead();
        var digest = ChainLink.DigestOf(before, newest + 1, kind.Code, run, part, record);
        Fill(_insert, newest + 1, (long)kind.Code, run, part, record, digest);
        if (_insert.ExecuteNonQuery() == 1)
        {
            _newest = (newest + 1, digest);
            return;
        }

        Fill(_find, run, (long)kind.Code, part);
        if (!record.AsSpan().SequenceEqual((byte[])_find.ExecuteScalar()!))
        {
            throw new InvalidOperationException($"The {kind.Word} {part} of run number {run} is in the record already, with other content; nothing is overwritten.");
        }
    }

    // Where somebody has taken the chain away or spoilt its end, the record goes on; a verification tells.
    private (long Number, byte[] Digest) ReadHead()
    {
        using var reader = _head.ExecuteReader();
        return !reader.Read() ? (-1, ChainLink.Nothing)
            : (reader.GetInt64(0), reader.GetFieldValue<byte[]>(1) is { Length: ChainLink.DigestBytes } digest ? digest : ChainLink.Nothing);
    }

    private static void Fill(SqliteCommand command, params ReadOnlySpan<object> values)
    {
        for (var i = 0; i < values.Length; i++)
        {
            command.Parameters[i].Value = values[i];
        }
    }

    private static SqliteCommand Prepare(SqliteConnection connection, string sql, params ReadOnlySpan<string> names)
    {
        var command = connection.CreateCommand();
        command.CommandText = sql;
        foreach (var name in names)
        {
            command.Parameters.Add(new SqliteParameter(name, null));
        }

        return command;
    }
}
