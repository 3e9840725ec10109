using System.Text;
using Acquire.Service.Archive.Chain;
using Acquire.Service.Archive.Database;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Bundles;

/// <summary>Adds a run from another archive, each record with its place in the chain. Used by the writer's thread only.</summary>
internal sealed class ImportStatements(SqliteConnection connection, ChainWriter chain)
{
    /// <summary>Why the run cannot be added: null where it can.</summary>
    public string? WhyNot(RunBundle bundle) => ImportConflict.Find(connection, bundle);

    /// <summary>Adds the run under a number of its own, in the order of its records, and behind them where it came from.</summary>
    public void Insert(RunBundle bundle, RunImport import)
    {
        var run = long.Parse(ArchiveConnection.Scalar(connection, $"SELECT {ArchiveStatements.NextNumber}")!, System.Globalization.CultureInfo.InvariantCulture);
        foreach (var record in bundle.Records)
        {
            Put(record.Kind, run, record.Part, [run, .. record.Values]);
        }

        Put(RecordKind.Import, run, import.Number,
        [
            run, (long)import.Number, ArchiveStatements.Utc(import.At), import.Person, import.Reason, import.SoftwareVersion, import.Repeats is { } repeats ? repeats ? 1L : 0L : null,
            bundle.Sha256, import.OriginArchive, import.OriginRun, import.OriginVersion, import.OriginLink, Convert.FromHexString(import.OriginDigest), import.Signer,
            Encoding.UTF8.GetString(bundle.ManifestText), bundle.SignatureText is { } signature ? Encoding.UTF8.GetString(signature) : null, bundle.LinksText,
        ]);
    }

    private void Put(RecordKind kind, long run, long part, ReadOnlySpan<object?> values)
    {
        using var command = connection.CreateCommand();
        command.CommandText = kind == RecordKind.Closing || kind == RecordKind.Interruption ? Update(kind) : Insertion(kind);
        for (var i = 0; i < values.Length; i++)
        {
            command.Parameters.Add(new SqliteParameter($"${i}", values[i] ?? DBNull.Value));
        }

        command.ExecuteNonQuery();
        chain.Append(kind, run, part, values);
    }

    private static string Insertion(RecordKind kind) => $"INSERT INTO {kind.Table} ({string.Join(", ", kind.Columns)}) VALUES ({string.Join(", ", kind.Columns.Select((_, index) => $"${index}"))})";

    // A run's end stands in the row that its beginning made.
    private static string Update(RecordKind kind) => $"UPDATE {kind.Table} SET {string.Join(", ", kind.Columns.Skip(1).Select((column, index) => $"{column} = ${index + 1}"))} WHERE number = $0";
}
