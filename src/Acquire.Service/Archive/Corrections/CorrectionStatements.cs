using Acquire.Service.Archive.Chain;
using Acquire.Service.Archive.Database;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Corrections;

/// <summary>Adds what comes after a run was closed, each with its place in the chain. Used by the writer's thread only.</summary>
internal sealed class CorrectionStatements(SqliteConnection connection, ChainWriter chain)
{
    /// <summary>How many records of a kind the run has.</summary>
    public int Count(RecordKind kind, long run)
    {
        using var command = Prepare($"SELECT count(*) FROM {kind.Table} WHERE run = $0", [run]);
        return Convert.ToInt32(command.ExecuteScalar(), System.Globalization.CultureInfo.InvariantCulture);
    }

    /// <summary>Adds a correction.</summary>
    public void Insert(long run, RunCorrection correction)
    {
        ReadOnlySpan<object?> values =
        [
            run, correction.Number, ArchiveStatements.Utc(correction.At), correction.Person, ArchiveJson.Word(correction.Field), correction.OldValue, correction.NewValue, correction.Reason,
        ];
        Insert(RecordKind.Correction, run, correction.Number, values);
    }

    /// <summary>Adds a result that follows from a correction.</summary>
    public void Insert(long run, LaterResult later)
    {
        ReadOnlySpan<object?> values =
        [
            run, later.Number, later.Correction, ArchiveStatements.Utc(later.At), later.SoftwareVersion, later.Repeats ? 1 : 0,
            ArchiveStatements.Word(later.Result.Verdict), later.Result.Flash?.ReportedCelsius, later.Result.Fire?.ReportedCelsius, ArchiveJson.Write(later.Result),
        ];
        Insert(RecordKind.Result, run, later.Number, values);
    }

    /// <summary>Adds an approval.</summary>
    public void Insert(long run, RunApproval approval) =>
        Insert(RecordKind.Approval, run, approval.Number, [run, approval.Number, ArchiveStatements.Utc(approval.At), approval.Person, approval.Corrections]);

    private void Insert(RecordKind kind, long run, long part, ReadOnlySpan<object?> values)
    {
        using var command = Prepare($"INSERT INTO {kind.Table} VALUES ({string.Join(", ", Enumerable.Range(0, values.Length).Select(index => $"${index}"))})", values);
        command.ExecuteNonQuery();
        chain.Append(kind, run, part, values);
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
