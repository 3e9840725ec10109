using System.Globalization;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Database;

/// <summary>Copies an archive before its content is taken over into a newer version.</summary>
internal static class ArchiveCopy
{
    /// <summary>Where the copy of a version stands.</summary>
    public static string PathFor(string path, long version) => string.Create(CultureInfo.InvariantCulture, $"{path}.version-{version}");

    /// <summary>Makes a whole, checked copy beside the archive, on the disk when this returns.</summary>
    /// <returns>Path of the copy.</returns>
    /// <exception cref="ArchiveRefusedException">It cannot be made; what was begun is taken away.</exception>
    public static string Make(SqliteConnection connection, string path, long version)
    {
        var (copy, begun) = (PathFor(path, version), PathFor(path, version) + ".partial");
        try
        {
            File.Delete(begun);
            using (var command = connection.CreateCommand())
            {
                command.CommandText = "VACUUM INTO $file";
                command.Parameters.AddWithValue("$file", begun);
                command.ExecuteNonQuery();
            }

            Check(begun);
            using (var written = new FileStream(begun, FileMode.Open, FileAccess.ReadWrite))
            {
                written.Flush(flushToDisk: true);
            }

            File.Move(begun, copy, overwrite: true);
            return copy;
        }
        catch (Exception exception) when (exception is SqliteException or IOException or UnauthorizedAccessException)
        {
            Discard(begun);
            throw new ArchiveRefusedException($"The archive {path} is of an older version and is copied to {copy} before it is taken over, and that failed: {SqliteFault.Explain(exception, path)}. Nothing was changed.", exception);
        }
    }

    private static void Discard(string begun)
    {
        try
        {
            File.Delete(begun);
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            // What stands there in the way is what is told already.
        }
    }

    private static void Check(string begun)
    {
        using var connection = new SqliteConnection(new SqliteConnectionStringBuilder { DataSource = begun, Mode = SqliteOpenMode.ReadOnly, Pooling = false }.ConnectionString);
        connection.Open();
        if (ArchiveConnection.Scalar(connection, "PRAGMA integrity_check(1)") is not "ok" and var fault)
        {
            throw new IOException($"the copy is not sound: {fault}");
        }
    }
}
