using Acquire.Service.Archive.Database;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Chain;

/// <summary>Opens an archive to look at its chain; writes nothing.</summary>
internal static class ChainFile
{
    /// <summary>Opens the file.</summary>
    /// <exception cref="ArchiveRefusedException">The file is not there, cannot be read, is no archive, or has no chain yet.</exception>
    public static SqliteConnection Open(string path)
    {
        if (!File.Exists(path))
        {
            throw new ArchiveRefusedException($"There is no archive {path}.");
        }

        // Asked before SQLite is: it throws the log of an empty file away.
        if (new FileInfo(path).Length == 0)
        {
            throw Empty(path, "0 bytes long");
        }

        SqliteConnection? connection = null;
        try
        {
            connection = ArchiveConnection.OpenReader(path);
            ArchiveSchema.Recognise(connection, path);
            if (ArchiveSchema.VersionOf(connection) == 0)
            {
                throw Empty(path, "without a table");
            }

            if (ArchiveSchema.VersionOf(connection) is < ArchiveSchema.ChainVersion and var version)
            {
                throw new ArchiveRefusedException($"The archive {path} has content of version {version}, from before there was a chain. The service takes it over when it is next started.");
            }

            return connection;
        }
        catch (Exception exception)
        {
            connection?.Dispose();
            if (exception is SqliteException sqlite && !SqliteFault.IsDamage(sqlite))
            {
                throw new ArchiveRefusedException($"The archive {path} cannot be read: {SqliteFault.Explain(exception, path)}. To read one on a disk that nobody may write to, copy it first.", exception);
            }

            throw;
        }
    }

    private static ArchiveEmptyException Empty(string path, string how) =>
        new($"The archive {path} is empty, {how}: no service has kept a record in it, or somebody put an empty file in its place. Where there was an archive, restore it from a copy.");

    /// <summary>The end of the chain now; null where there is none.</summary>
    public static ArchiveHead? HeadOf(SqliteConnection connection)
    {
        using var command = connection.CreateCommand();
        command.CommandText = "SELECT link, digest FROM chain ORDER BY link DESC LIMIT 1";
        using var reader = command.ExecuteReader();
        return reader.Read() && StartOf(connection) is { } start ? new(start.Archive, reader.GetInt64(0), reader.GetFieldValue<byte[]>(1), null) : null;
    }

    /// <summary>Digest of a link; null where there is none of that number.</summary>
    public static byte[]? DigestOf(SqliteConnection connection, long link)
    {
        using var command = connection.CreateCommand();
        command.CommandText = "SELECT digest FROM chain WHERE link = $link";
        command.Parameters.AddWithValue("$link", link);
        return command.ExecuteScalar() as byte[];
    }

    /// <summary>Where the chain began; null where that is gone.</summary>
    public static ChainStart? StartOf(SqliteConnection connection)
    {
        using var command = connection.CreateCommand();
        command.CommandText = "SELECT at_utc, archive, from_version FROM chain_start LIMIT 1";
        using var reader = command.ExecuteReader();
        return reader.Read() ? new(reader.GetString(0), reader.GetString(1), reader.GetInt64(2)) : null;
    }
}

/// <summary>Where a chain began.</summary>
/// <param name="AtUtc">When, as stored.</param>
/// <param name="Archive">Id that the archive was given then.</param>
/// <param name="FromVersion">Version of the content that was there before; 0 for an empty file.</param>
internal sealed record ChainStart(string AtUtc, string Archive, long FromVersion);
