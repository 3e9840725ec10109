using System.Globalization;
using Acquire.Service.Archive.Chain;
using Acquire.Service.Archive.Database;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Copies;

/// <summary>Whether a copy holds what is to be taken away from the archive.</summary>
public static class CopyComparison
{
    /// <summary>Verifies the copy and compares its chain with the archive's.</summary>
    /// <param name="path">The archive.</param>
    /// <param name="copy">The copy.</param>
    /// <param name="runs">Ids of the runs that it must hold whole.</param>
    /// <param name="head">The head of the copy; null where it does not hold them.</param>
    /// <returns>Why it does not hold them; null where it does.</returns>
    /// <exception cref="ArchiveRefusedException">One of the two is not there, is no archive, or cannot be read.</exception>
    public static string? WhyNotHeld(string path, string copy, IReadOnlyCollection<string> runs, out ArchiveHead? head)
    {
        ArgumentNullException.ThrowIfNull(runs);
        head = null;
        if (File.Exists(copy) && Real(copy) == Real(path))
        {
            return $"{copy} is the archive itself, and no copy of it";
        }

        var found = ArchiveVerifier.Verify(copy);
        if (!found.Sound || found.Head is not { } end)
        {
            return $"{copy} is not sound: {(found.Faults.Count > 0 ? found.Faults[0] : "it has no chain")}";
        }

        using var archive = ChainFile.Open(path);
        if (ChainFile.StartOf(archive)?.Archive != end.Archive)
        {
            return $"{copy} is a copy of another archive";
        }

        if (ChainFile.DigestOf(archive, end.Link) is not { } digest || !digest.AsSpan().SequenceEqual(end.Digest.Span))
        {
            return string.Create(CultureInfo.InvariantCulture, $"{copy} is no copy of this archive as it is: they differ at link {end.Link} of the chain or before it");
        }

        using var other = ChainFile.Open(copy);
        foreach (var run in runs)
        {
            if (Number(other, "SELECT number FROM runs WHERE id = $value", run) is null || NewestLinkOf(archive, run) > end.Link)
            {
                return $"{copy} does not hold all of run {run}; make a newer copy (acquire archive backup)";
            }
        }

        head = end;
        return null;
    }

    // By another name the archive is no copy of itself either.
    private static string Real(string path) => OperatingSystem.IsWindows() ? Path.GetFullPath(File.ResolveLinkTarget(path, returnFinalTarget: true)?.FullName ?? path).ToUpperInvariant() : ArchiveLocation.RealPath(path);

    private static long? NewestLinkOf(SqliteConnection connection, string run) =>
        Number(connection, $"SELECT max(link) FROM chain WHERE run = (SELECT number FROM runs WHERE id = $value) AND kind <> {RecordKind.Hold.Code}", run);

    private static long? Number(SqliteConnection connection, string sql, string value)
    {
        using var command = connection.CreateCommand();
        command.CommandText = sql;
        command.Parameters.AddWithValue("$value", value);
        return command.ExecuteScalar() as long?;
    }
}
