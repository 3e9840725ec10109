using System.Globalization;
using Acquire.Core.Results;
using Acquire.Service.Archive.Bundles;
using Acquire.Service.Archive.Keeping;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Corrections;

/// <summary>Reads what was added to a run after it was closed.</summary>
internal static class AuditReader
{
    /// <summary>The audit of a run, within the connection's open read.</summary>
    /// <param name="connection">The connection.</param>
    /// <param name="id">Run id, for words about damage.</param>
    /// <param name="run">Its number.</param>
    /// <param name="closing">The result it was closed with, as stored; null where there is none.</param>
    public static RunAudit Read(SqliteConnection connection, string id, long run, string? closing)
    {
        var corrections = Rows(connection, "SELECT number, at_utc, person, field, old_value, new_value, reason FROM corrections WHERE run = $run ORDER BY number", run, row => Correction(id, row));
        var results = Rows(connection, "SELECT number, correction, at_utc, software_version, repeats, result FROM results WHERE run = $run ORDER BY number", run, row => Result(id, row));
        var approvals = Rows(connection, "SELECT number, at_utc, person, corrections FROM approvals WHERE run = $run ORDER BY number", run,
            row => new RunApproval(row.GetInt32(0), Utc(id, "approval", row, 1), row.GetString(2), row.GetInt32(3)));
        var original = results.Count > 0 && closing is not null ? ArchiveJson.Read<RunResult>(closing, id, "its result") : null;
        var holds = Rows(connection, "SELECT number, at_utc, person, held, reason FROM holds WHERE run = $run ORDER BY number", run,
            row => new RunHold(row.GetInt32(0), Utc(id, "hold", row, 1), row.GetString(2), row.GetInt64(3) != 0, row.GetString(4)));
        var imports = Rows(connection, "SELECT number, at_utc, person, reason, software_version, repeats, bundle, origin_archive, origin_run, origin_version, origin_link, origin_digest, signer FROM imports WHERE run = $run ORDER BY number", run, row => Import(id, row));
        return new(corrections, results, approvals, original) { Holds = holds, Imports = imports };
    }

    private static RunImport Import(string id, SqliteDataReader row) => new(
        row.GetInt32(0), Utc(id, "import", row, 1), row.GetString(2), row.GetString(3), row.GetString(4), row.IsDBNull(5) ? null : row.GetInt64(5) != 0, Hexadecimal(row, 6),
        row.GetString(7), row.GetInt64(8), row.GetString(9), row.GetInt64(10), Hexadecimal(row, 11), row.IsDBNull(12) ? null : row.GetString(12));

    private static string Hexadecimal(SqliteDataReader row, int column) => Convert.ToHexStringLower(row.GetFieldValue<byte[]>(column));

    private static RunCorrection Correction(string id, SqliteDataReader row)
    {
        var field = ArchiveJson.Field(row.GetString(3)) ?? throw new ArchiveCorruptException(id, Part("correction", row), $"'{row.GetString(3)}' is no field");
        var value = row.GetString(5);
        return field is CorrectedField.ExpectedFlash or CorrectedField.StationPressure && !(double.TryParse(value, CultureInfo.InvariantCulture, out var number) && double.IsFinite(number))
            ? throw new ArchiveCorruptException(id, Part("correction", row), $"'{value}' is not a number")
            : new(row.GetInt32(0), Utc(id, "correction", row, 1), row.GetString(2), field, row.IsDBNull(4) ? null : row.GetString(4), value, row.GetString(6));
    }

    private static LaterResult Result(string id, SqliteDataReader row) => new(
        row.GetInt32(0), row.GetInt32(1), Utc(id, "result", row, 2), row.GetString(3), row.GetInt64(4) != 0, ArchiveJson.Read<RunResult>(row.GetString(5), id, Part("result", row)));

    private static List<T> Rows<T>(SqliteConnection connection, string sql, long run, Func<SqliteDataReader, T> read)
    {
        using var command = connection.CreateCommand();
        command.CommandText = sql;
        command.Parameters.AddWithValue("$run", run);
        using var reader = command.ExecuteReader();
        var rows = new List<T>();
        while (reader.Read())
        {
            rows.Add(read(reader));
        }

        return rows;
    }

    private static string Part(string word, SqliteDataReader row) => string.Create(CultureInfo.InvariantCulture, $"{word} {row.GetInt64(0)}");

    private static DateTimeOffset Utc(string id, string word, SqliteDataReader row, int column) => ArchiveReader.Utc(id, Part(word, row), row.GetString(column));
}
