using Acquire.Service.Archive.Database;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Chain;

/// <summary>Which runs were pruned.</summary>
internal static class PruningList
{
    /// <summary>Their numbers, and how many records of each are said to be gone; within the connection's open read.</summary>
    public static Dictionary<long, long> In(SqliteConnection connection)
    {
        var pruned = new Dictionary<long, long>();
        if (ArchiveSchema.VersionOf(connection) >= RecordKind.Pruning.SinceVersion)
        {
            using var command = connection.CreateCommand();
            command.CommandText = "SELECT run, records FROM prunings";
            using var reader = command.ExecuteReader();
            while (reader.Read())
            {
                pruned.Add(reader.GetInt64(0), reader.GetInt64(1));
            }
        }

        return pruned;
    }
}
