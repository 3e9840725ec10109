using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Database;

/// <summary>What a failed commit means to the person who has to help.</summary>
internal static class SqliteFault
{
    private const int SqlError = 1;
    private const int Busy = 5;
    private const int Corrupt = 11;
    private const int Full = 13;
    private const int NotADatabase = 26;
    private const int ReadOnly = 8;
    private const int InputOutput = 10;
    private const int CannotOpen = 14;

    /// <summary>Whether the connection is still good; after anything else it is opened afresh.</summary>
    public static bool ConnectionSurvives(Exception exception) => exception is SqliteException { SqliteErrorCode: Full or Busy };

    /// <summary>Whether SQLite says that the file is damaged, or that a table or a column is not there that every archive has.</summary>
    public static bool IsDamage(SqliteException exception) => exception.SqliteErrorCode is Corrupt or NotADatabase
        || (exception.SqliteErrorCode == SqlError && exception.Message.Contains("no such ", StringComparison.Ordinal));

    /// <summary>The fault in words, with what to do.</summary>
    public static string Explain(Exception exception, string path) => exception is not SqliteException sqlite
        ? exception.Message
        : sqlite.SqliteErrorCode switch
        {
            Full => $"the disk or the size set for the archive is full; free space in {Path.GetDirectoryName(path)}",
            Busy => "another program holds the archive locked; close it",
            ReadOnly => $"the archive is read-only for this user; check the rights of {path} and of its folder",
            InputOutput => $"the disk reports an error ({sqlite.SqliteExtendedErrorCode}); check the disk and its cable",
            CannotOpen => $"the file cannot be opened; is the disk of {path} there?",
            Corrupt or NotADatabase => "the file is not a database, or is damaged; restore it from a copy, or choose another archive file",
            _ => sqlite.Message,
        };
}
