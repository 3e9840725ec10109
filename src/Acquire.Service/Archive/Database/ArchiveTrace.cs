using System.Text;

namespace Acquire.Service.Archive.Database;

/// <summary>What is left beside an archive when somebody takes it away: a start must not begin a new one over it as if there had been none.</summary>
internal static class ArchiveTrace
{
    /// <summary>Refuses an empty file where something says that there was an archive. Throws <see cref="ArchiveRefusedException"/>.</summary>
    /// <param name="path">The database file; it need not be there.</param>
    /// <param name="taken">The lock file, open.</param>
    public static void RefuseEmptied(string path, FileStream taken)
    {
        // What SQLite makes of a new file before its first commit; where that is all there is, a start goes on.
        if (new FileInfo(path) is not { Exists: true, Length: 0 })
        {
            return;
        }

        if (Evidence(path, taken) is { } evidence)
        {
            throw new ArchiveRefusedException($"The archive {path} is 0 bytes long, and {evidence}: it was emptied or replaced. Nothing was changed. Restore it from a copy; to begin a new archive all the same, move all files {Path.GetFileName(path)}* away first.");
        }
    }

    /// <summary>Leaves in the lock file that an archive was made here.</summary>
    public static void Leave(FileStream taken, string archive)
    {
        if (taken.Length == 0)
        {
            taken.Write(Encoding.ASCII.GetBytes($"archive {archive}\n"));
            taken.Flush(flushToDisk: true);
        }
    }

    private static string? Evidence(string path, FileStream taken)
    {
        if (taken.Length > 0)
        {
            return $"{Path.GetFileName(path)}.lock says that there was one";
        }

        foreach (var log in (string[])["-wal", "-journal"])
        {
            if (new FileInfo(path + log) is { Exists: true, Length: > 0 })
            {
                return $"{Path.GetFileName(path)}{log} holds the newest records of one";
            }
        }

        return Directory.EnumerateFiles(Path.GetDirectoryName(path)!, Path.GetFileName(path) + ".version-*").FirstOrDefault() is { } copy
            ? $"{Path.GetFileName(copy)} is a copy of one" : null;
    }
}
