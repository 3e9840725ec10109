using System.Globalization;
using Acquire.Service.Configuration;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Influx.Keeping;

/// <summary>Opens `influx.db` beside the archive: how far each endpoint has the record, and what it did not take. It holds nothing that the archive does not hold too.</summary>
/// <remarks>
/// Losing it costs time: everything is sent again, and each point is the same point. So commits are not forced to the disk one by one,
/// and a file that is damaged is put aside and begun anew.
/// </remarks>
internal static class OutboxFile
{
    /// <summary>Its name, in the archive's folder.</summary>
    public const string FileName = "influx.db";

    // The letters "Acqi".
    private const int ApplicationId = 0x41637169;
    private const int Version = 1;
    private const int Corrupt = 11, NotADatabase = 26;

    private const string Tables = """
        CREATE TABLE targets (
            number INTEGER PRIMARY KEY,
            url TEXT NOT NULL,
            org TEXT NOT NULL,
            bucket TEXT NOT NULL,
            done_through INTEGER NOT NULL DEFAULT 0,
            current_at_utc TEXT,
            note TEXT,
            UNIQUE (url, org, bucket)
        ) STRICT;
        CREATE TABLE cursors (
            target INTEGER NOT NULL REFERENCES targets (number),
            run INTEGER NOT NULL,
            run_id TEXT NOT NULL,
            chunk INTEGER NOT NULL,
            rows INTEGER NOT NULL,
            events INTEGER NOT NULL,
            results INTEGER NOT NULL,
            PRIMARY KEY (target, run)
        ) STRICT, WITHOUT ROWID;
        CREATE TABLE set_aside (
            target INTEGER NOT NULL REFERENCES targets (number),
            run_id TEXT NOT NULL,
            kind INTEGER NOT NULL,
            first INTEGER NOT NULL,
            count INTEGER NOT NULL CHECK (count > 0),
            run INTEGER NOT NULL,
            status INTEGER NOT NULL,
            words TEXT NOT NULL,
            at_utc TEXT NOT NULL,
            PRIMARY KEY (target, run_id, kind, first)
        ) STRICT, WITHOUT ROWID;
        """;

    /// <summary>Opens the file, creating it where there is none.</summary>
    /// <param name="path">The file.</param>
    /// <param name="time">Clock for the name of a damaged file that is put aside.</param>
    /// <param name="putAside">Where a damaged file was put; null where it was sound or new.</param>
    /// <exception cref="ArchiveRefusedException">It is of a newer program, or of another.</exception>
    public static SqliteConnection Open(string path, TimeProvider time, out string? putAside)
    {
        putAside = null;
        try
        {
            return Opened(path);
        }
        catch (SqliteException exception) when (exception.SqliteErrorCode is Corrupt or NotADatabase)
        {
            putAside = string.Create(CultureInfo.InvariantCulture, $"{path}.damaged-{time.GetUtcNow():yyyyMMdd'T'HHmmssfff'Z'}");
            File.Move(path, putAside);
            foreach (var part in new[] { "-wal", "-shm" })
            {
                File.Delete(path + part);
            }

            return Opened(path);
        }
    }

    /// <summary>The number of an endpoint, which is given one where it is new: what one server has says nothing about another.</summary>
    public static long Target(SqliteConnection connection, InfluxConfig influx)
    {
        using var command = connection.CreateCommand();
        command.CommandText = "INSERT INTO targets (url, org, bucket) VALUES ($url, $org, $bucket) ON CONFLICT (url, org, bucket) DO UPDATE SET url = excluded.url RETURNING number";
        command.Parameters.AddWithValue("$url", influx.Url.AbsoluteUri);
        command.Parameters.AddWithValue("$org", influx.Org);
        command.Parameters.AddWithValue("$bucket", influx.Bucket);
        return (long)command.ExecuteScalar()!;
    }

    private static SqliteConnection Opened(string path)
    {
        var connection = new SqliteConnection(new SqliteConnectionStringBuilder { DataSource = path, Mode = SqliteOpenMode.ReadWriteCreate, Pooling = false, DefaultTimeout = 5 }.ConnectionString);
        try
        {
            connection.Open();
            Run(connection, "PRAGMA journal_mode = wal; PRAGMA synchronous = NORMAL; PRAGMA foreign_keys = 1; PRAGMA trusted_schema = 0");
            var version = Number(connection, "PRAGMA user_version");
            if (version > Version)
            {
                throw new ArchiveRefusedException($"{path} was written by a newer program (its content is version {version}, this program knows {Version}). Install that program, or delete the file: everything is then sent again.");
            }

            if (version == 0)
            {
                Create(connection, path);
            }
            else if (Number(connection, "PRAGMA application_id") != ApplicationId || Run(connection, "PRAGMA quick_check(1)") is not "ok")
            {
                throw new SqliteException("it is not what this program wrote", Corrupt);
            }

            return connection;
        }
        catch
        {
            connection.Dispose();
            throw;
        }
    }

    private static void Create(SqliteConnection connection, string path)
    {
        // Two programs may come here at once: the one that waits for the other finds it done.
        Run(connection, "BEGIN IMMEDIATE");
        if (Number(connection, "PRAGMA user_version") == 0)
        {
            if (Number(connection, "SELECT count(*) FROM sqlite_schema") > 0)
            {
                throw new ArchiveRefusedException($"The file {path} is a database, but not of this program. Move it elsewhere.");
            }

            Run(connection, Tables);
            Run(connection, string.Create(CultureInfo.InvariantCulture, $"PRAGMA application_id = {ApplicationId}; PRAGMA user_version = {Version}"));
        }

        Run(connection, "COMMIT");
    }

    private static string? Run(SqliteConnection connection, string sql)
    {
        using var command = connection.CreateCommand();
        command.CommandText = sql;
        return Convert.ToString(command.ExecuteScalar(), CultureInfo.InvariantCulture);
    }

    private static long Number(SqliteConnection connection, string sql) => long.Parse(Run(connection, sql)!, CultureInfo.InvariantCulture);
}
