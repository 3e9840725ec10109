using Acquire.Service.Archive.Database;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Copies;

/// <summary>Gives the room of what was pruned back to the disk. What was pruned is then nowhere in the file any longer.</summary>
public static class ArchiveShrinking
{
    /// <summary>Writes the file anew without the room; needs as much free room as the archive has. All or nothing.</summary>
    /// <exception cref="ArchiveRefusedException">It cannot be done; the archive is as it was.</exception>
    public static void Run(string path)
    {
        using var taken = ArchiveLocation.Take(path);
        try
        {
            using var connection = ArchiveConnection.OpenWriter(path, create: false);
            ArchiveConnection.Scalar(connection, "VACUUM");
            ArchiveConnection.Scalar(connection, "PRAGMA wal_checkpoint(TRUNCATE)");
        }
        catch (SqliteException exception)
        {
            throw new ArchiveRefusedException($"The room of what was pruned was not given back: {SqliteFault.Explain(exception, path)}.", exception);
        }
    }
}
