using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Bundles;

/// <summary>Whether a run of that id is in an archive already.</summary>
internal static class ImportConflict
{
    /// <summary>What is there; null where nothing is.</summary>
    /// <param name="connection">A connection to the archive.</param>
    /// <param name="bundle">What is to be imported.</param>
    public static string? Find(SqliteConnection connection, RunBundle bundle)
    {
        using var command = connection.CreateCommand();
        command.CommandText = "SELECT number FROM runs WHERE id = $id";
        command.Parameters.AddWithValue("$id", bundle.Manifest.Run);
        if (command.ExecuteScalar() is not long run)
        {
            return null;
        }

        if (!IsSame(connection, run, bundle.Records.Where(record => record.IsOfTheRunItself)))
        {
            return $"another run has the id {bundle.Manifest.Run} here, with other readings, facts or result; one of the two is not what it says, and nothing is overwritten";
        }

        return IsSame(connection, run, bundle.Records.Where(record => !record.IsOfTheRunItself))
            ? $"run {bundle.Manifest.Run} is here already"
            : $"run {bundle.Manifest.Run} is here already, with other corrections, approvals or imports than the bundle has; these are never merged. Look at both, and correct it here where that is needed";
    }

    // By digest: each record of the bundle is in the chain here, and no other of those kinds; what was added here later does not count.
    private static bool IsSame(SqliteConnection connection, long run, IEnumerable<BundleRecord> records)
    {
        using var command = connection.CreateCommand();
        command.CommandText = "SELECT record FROM chain WHERE run = $run AND kind = $kind AND part = $part";
        command.Parameters.AddWithValue("$run", run);
        var (kind, part) = (command.Parameters.AddWithValue("$kind", 0L), command.Parameters.AddWithValue("$part", 0L));
        foreach (var record in records)
        {
            (kind.Value, part.Value) = ((long)record.Kind.Code, record.Part);
            if (command.ExecuteScalar() is not byte[] digest || !digest.AsSpan().SequenceEqual(record.DigestWith(run)))
            {
                return false;
            }
        }

        return true;
    }
}
