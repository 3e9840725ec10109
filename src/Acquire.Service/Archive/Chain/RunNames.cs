using System.Globalization;
using Acquire.Service.Archive.Database;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Chain;

/// <summary>The ids of runs, as they stand in the file, for words to people.</summary>
internal sealed class RunNames : IDisposable
{
    private readonly SqliteCommand _find;

    public RunNames(SqliteConnection connection)
    {
        _find = connection.CreateCommand();
        _find.CommandText = ArchiveSchema.VersionOf(connection) < RecordKind.Pruning.SinceVersion
            ? "SELECT id FROM runs WHERE number = $run"
            : "SELECT id FROM runs WHERE number = $run UNION ALL SELECT id FROM prunings WHERE run = $run LIMIT 1";
        _find.Parameters.Add(new SqliteParameter("$run", null));
    }

    /// <summary>Id of a run; where its row is gone, its number in words.</summary>
    public string Of(long run)
    {
        _find.Parameters[0].Value = run;
        return _find.ExecuteScalar() as string ?? string.Create(CultureInfo.InvariantCulture, $"number {run}, whose header is gone");
    }

    public void Dispose() => _find.Dispose();
}
