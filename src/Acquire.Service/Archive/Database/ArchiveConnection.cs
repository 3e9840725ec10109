using System.Globalization;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Database;

/// <summary>Opens connections, sets what SQLite keeps per connection, and reads it back: a setting that did not take is an error.</summary>
/// <remarks>No pooling: a pooled connection keeps settings and the file open behind our back.</remarks>
internal static class ArchiveConnection
{
    /// <summary>The log is cut back to this after a checkpoint, bytes.</summary>
    public const long WalLimitBytes = 64L * 1024 * 1024;

    // Earlier versions can damage a write-ahead log when a checkpoint meets a reset of the log.
    private static readonly Version OldestSqlite = new(3, 51, 3);

    /// <summary>Opens the one connection that writes. The file is created only where asked.</summary>
    public static SqliteConnection OpenWriter(string path, bool create)
    {
        var connection = Open(path, create ? SqliteOpenMode.ReadWriteCreate : SqliteOpenMode.ReadWrite);
        try
        {
            RefuseOldSqlite(connection);
            ArchiveSchema.Recognise(connection, path);
            Set(connection, "journal_mode", "wal");
            Set(connection, "journal_size_limit", WalLimitBytes.ToString(CultureInfo.InvariantCulture));
            Set(connection, "wal_autocheckpoint", "1000");
            Set(connection, "cell_size_check", "1");
            SetCommon(connection);
            return connection;
        }
        catch
        {
            connection.Dispose();
            throw;
        }
    }

    /// <summary>Opens a connection that cannot write. Callers keep it for one short read.</summary>
    public static SqliteConnection OpenReader(string path)
    {
        var connection = Open(path, SqliteOpenMode.ReadOnly);
        try
        {
            Set(connection, "query_only", "1");
            SetCommon(connection);
            return connection;
        }
        catch
        {
            connection.Dispose();
            throw;
        }
    }

    /// <summary>Runs one statement and gives its first value as text.</summary>
    public static string? Scalar(SqliteConnection connection, string sql)
    {
        using var command = connection.CreateCommand();
        command.CommandText = sql;
        return Convert.ToString(command.ExecuteScalar(), CultureInfo.InvariantCulture);
    }

    /// <summary>Limits the file's size for this connection; null for no limit of ours.</summary>
    public static void LimitSize(SqliteConnection connection, long? bytes)
    {
        var pageBytes = long.Parse(Scalar(connection, "PRAGMA page_size")!, CultureInfo.InvariantCulture);
        var pages = bytes is { } limit ? Math.Max(1, limit / pageBytes) : 4_294_967_294;
        Scalar(connection, string.Create(CultureInfo.InvariantCulture, $"PRAGMA max_page_count = {pages}"));
    }

    private static SqliteConnection Open(string path, SqliteOpenMode mode)
    {
        var text = new SqliteConnectionStringBuilder { DataSource = path, Mode = mode, Pooling = false, DefaultTimeout = 5 };
        var connection = new SqliteConnection(text.ConnectionString);
        try
        {
            connection.Open();
            return connection;
        }
        catch
        {
            connection.Dispose();
            throw;
        }
    }

    private static void SetCommon(SqliteConnection connection)
    {
        Set(connection, "synchronous", "2", "FULL");
        Set(connection, "foreign_keys", "1");
        Set(connection, "trusted_schema", "0");
    }

    private static void Set(SqliteConnection connection, string name, string value, string? word = null)
    {
        Scalar(connection, $"PRAGMA {name} = {word ?? value}");
        var got = Scalar(connection, $"PRAGMA {name}");
        if (got != value)
        {
            throw new ArchiveRefusedException($"The database does not take the setting {name} = {word ?? value}; it stays at {got}. Is the archive on a disk that this user may write?");
        }
    }

    private static void RefuseOldSqlite(SqliteConnection connection)
    {
        var version = Version.Parse(Scalar(connection, "SELECT sqlite_version()")!);
        if (version < OldestSqlite)
        {
            throw new ArchiveRefusedException($"SQLite {version} can damage a write-ahead log; {OldestSqlite} or newer is needed.");
        }
    }
}
