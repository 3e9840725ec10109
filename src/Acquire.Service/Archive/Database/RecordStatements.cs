using System.Globalization;
using Acquire.Service.Archive.Chain;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Database;

/// <summary>Adds records that are rare, each with its place in the chain. Used by the writer's thread only.</summary>
internal sealed class RecordStatements(SqliteConnection connection, ChainWriter chain)
{
    /// <summary>How many records of a kind the run has.</summary>
    public int Count(RecordKind kind, long run) => (int)Number($"SELECT count(*) FROM {kind.Table} WHERE run = $0", run)!.Value;

    /// <summary>Adds a record. The values are all columns of its table, in order.</summary>
    public void Insert(RecordKind kind, long run, long part, params ReadOnlySpan<object?> values)
    {
        using var command = Prepare($"INSERT INTO {kind.Table} VALUES ({string.Join(", ", Enumerable.Range(0, values.Length).Select(index => $"${index}"))})", values);
        command.ExecuteNonQuery();
        chain.Append(kind, run, part, values);
    }

    /// <summary>The first value of a statement as a whole number; null where there is none.</summary>
    public long? Number(string sql, params ReadOnlySpan<object?> values)
    {
        using var command = Prepare(sql, values);
        return command.ExecuteScalar() is { } value and not DBNull ? Convert.ToInt64(value, CultureInfo.InvariantCulture) : null;
    }

    /// <summary>Runs a statement; gives how many rows it changed.</summary>
    public int Execute(string sql, params ReadOnlySpan<object?> values)
    {
        using var command = Prepare(sql, values);
        return command.ExecuteNonQuery();
    }

    private SqliteCommand Prepare(string sql, ReadOnlySpan<object?> values)
    {
        var command = connection.CreateCommand();
        command.CommandText = sql;
        for (var i = 0; i < values.Length; i++)
        {
            command.Parameters.Add(new SqliteParameter($"${i}", values[i] ?? DBNull.Value));
        }

        return command;
    }
}
