using System.Globalization;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Database;

/// <summary>Copies an archive, whole and of one moment.</summary>
internal static class ArchiveCopy
{
    /// <summary>Where the copy of a version stands, that is made before its content is taken over.</summary>
    public static string PathFor(string path, long version) => string.Create(CultureInfo.InvariantCulture, $"{path}.version-{version}");

    /// <summary>Makes a whole, checked copy beside the archive before its content is taken over, on the disk when this returns.</summary>
    /// <returns>Path of the copy.</returns>
    /// <exception cref="ArchiveRefusedException">It cannot be made; what was begun is taken away.</exception>
    public static string Make(SqliteConnection connection, string path, long version)
    {
        var (copy, begun) = (PathFor(path, version), PathFor(path, version) + ".partial");
        try
        {
            Write(connection, begun);
            File.Move(begun, copy, overwrite: true);
            return copy;
        }
        catch (Exception exception) when (exception is SqliteException or IOException or UnauthorizedAccessException)
        {
            Discard(begun);
            throw new ArchiveRefusedException($"The archive {path} is of an older version and is copied to {copy} before it is taken over, and that failed: {SqliteFault.Explain(exception, path)}. Nothing was changed.", exception);
        }
    }

    /// <summary>Writes a copy to a file of its own, in the place of what was begun there before; checked by SQLite, and on the disk when this returns.</summary>
    /// <exception cref="SqliteException">It cannot be read or written.</exception>
    /// <exception cref="IOException">It cannot be written, or is not sound.</exception>
    public static void Write(SqliteConnection connection, string file)
    {
        File.Delete(file);
        // A connection that only reads may not write anywhere; what is written here is another file.
        ArchiveConnection.Scalar(connection, "PRAGMA query_only = 0");
        using (var command = connection.CreateCommand())
        {
            command.CommandText = "VACUUM INTO $file";
            command.Parameters.AddWithValue("$file", file);
            command.ExecuteNonQuery();
        }

        Check(file);
        using var written = new FileStream(file, FileMode.Open, FileAccess.ReadWrite);
        written.Flush(flushToDisk: true);
    }

    /// <summary>Takes away what was begun; that it cannot be is not worth more words.</summary>
    public static void Discard(string begun)
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
