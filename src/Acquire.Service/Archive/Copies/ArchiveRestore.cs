using System.Globalization;
using Acquire.Service.Archive.Chain;
using Acquire.Service.Archive.Database;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Copies;

/// <summary>Puts a verified copy in the place of an archive. What stood there is set aside, never deleted.</summary>
public static class ArchiveRestore
{
    private const string Log = "-wal";
    private const string LogIndex = "-shm";

    /// <summary>Puts the copy in place.</summary>
    /// <param name="copy">A copy, as `acquire archive backup` makes it.</param>
    /// <param name="path">Where the archive is to be.</param>
    /// <param name="witnessed">A head that the copy must hold; null for none.</param>
    /// <param name="now">When, for the name of what is set aside.</param>
    /// <exception cref="ArchiveRefusedException">The copy is not sound, the service has the archive open, or the disk refuses; what stood there still does.</exception>
    public static RestoredArchive PutInPlace(string copy, string path, ArchiveHead? witnessed, DateTimeOffset now)
    {
        path = Path.GetFullPath(path);
        if (!File.Exists(ArchiveLocation.LockOf(path)))
        {
            // Where there was no archive, a copy that is refused leaves nothing behind: no folder, no lock.
            Verified(copy, copy, witnessed);
            CreateFolder(Path.GetDirectoryName(path)!);
        }

        ArchiveLocation.RefuseNetwork(Path.GetDirectoryName(path)!);
        using var taken = ArchiveLocation.Take(path);
        var begun = path + ".partial";
        try
        {
            // Through SQLite, not byte by byte: a copy that has a log beside it is taken with what is in the log.
            using (var source = ChainFile.Open(copy))
            {
                ArchiveCopy.Write(source, begun);
            }

            var found = Verified(begun, copy, witnessed);
            var (before, why) = HeadBefore(path);
            var only = before is null ? null : OnlyIn(path, before, begun, found.Head!);
            var aside = SetAside(path, now);
            File.Move(begun, path, overwrite: true);
            return new(found, aside, before, why) { RecordsOnlySetAside = only };
        }
        catch (Exception exception) when (exception is SqliteException or IOException or UnauthorizedAccessException)
        {
            throw new ArchiveRefusedException($"The copy {copy} cannot be put in the place of {path}: {SqliteFault.Explain(exception, path)}.", exception);
        }
        finally
        {
            ArchiveCopy.Discard(begun);
        }
    }

    private static ArchiveVerification Verified(string file, string copy, ArchiveHead? witnessed)
    {
        var found = ArchiveVerifier.Verify(file, witnessed);
        return found.Sound ? found : throw new ArchiveRefusedException($"The copy {copy} is not sound: {$"{found.Faults[0]}".TrimEnd('.')}. Nothing was changed.");
    }

    private static void CreateFolder(string folder)
    {
        try
        {
            Directory.CreateDirectory(folder);
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            throw new ArchiveRefusedException($"The folder {folder} cannot be made: {exception.Message}", exception);
        }
    }

    // Two that go on from one copy have links of the same numbers and other content: each digest holds all before it.
    private static long? OnlyIn(string path, ArchiveHead before, string begun, ArchiveHead head)
    {
        if (before.Archive != head.Archive)
        {
            return null;
        }

        using var one = ChainFile.Open(path);
        using var other = ChainFile.Open(begun);
        var (alike, end) = (-1L, Math.Min(before.Link, head.Link));
        while (alike < end)
        {
            var link = end - ((end - alike) / 2);
            var same = ChainFile.DigestOf(one, link) is { } digest && digest.AsSpan().SequenceEqual(ChainFile.DigestOf(other, link));
            (alike, end) = same ? (link, end) : (alike, link - 1);
        }

        return before.Link - alike;
    }

    private static (ArchiveHead? Head, string? WhyNone) HeadBefore(string path)
    {
        if (!File.Exists(path))
        {
            return (null, null);
        }

        try
        {
            return (ArchiveHead.ReadFrom(path), null);
        }
        catch (ArchiveRefusedException exception)
        {
            return (null, exception.Message);
        }
    }

    // At no moment is there no archive: whoever starts the service then would begin a new one.
    private static string? SetAside(string path, DateTimeOffset now)
    {
        if (!File.Exists(path))
        {
            return null;
        }

        Fold(path);
        var aside = FreeName(string.Create(CultureInfo.InvariantCulture, $"{path}.replaced-{now.UtcDateTime:yyyyMMdd'T'HHmmss'Z'}"));
        File.Copy(path, aside, overwrite: false);
        using (var written = new FileStream(aside, FileMode.Open, FileAccess.ReadWrite))
        {
            written.Flush(flushToDisk: true);
        }

        // A log belongs to its file by name; beside another file it would be taken for that one's.
        if (File.Exists(path + Log))
        {
            File.Move(path + Log, aside + Log, overwrite: false);
        }

        File.Delete(path + LogIndex);
        return aside;
    }

    private static void Fold(string path)
    {
        // SQLite throws the log of an empty file away, and it holds all that is left.
        if (new FileInfo(path).Length == 0)
        {
            return;
        }

        try
        {
            using var connection = ArchiveConnection.OpenWriter(path, create: false);
            ArchiveConnection.Scalar(connection, "PRAGMA wal_checkpoint(TRUNCATE)");
        }
        catch (Exception exception) when (exception is SqliteException or ArchiveRefusedException)
        {
            // A file that cannot be opened is set aside as it is, with its log.
        }
    }

    private static string FreeName(string name)
    {
        var free = name;
        for (var i = 2; Path.Exists(free) || Path.Exists(free + Log); i++)
        {
            free = string.Create(CultureInfo.InvariantCulture, $"{name}-{i}");
        }

        return free;
    }
}

/// <summary>What a restore did.</summary>
/// <param name="Found">What the verification of the restored archive found; sound.</param>
/// <param name="SetAside">Where what stood there before is now; null where nothing did.</param>
/// <param name="HeadBefore">The head of what stood there before; null where there is none.</param>
/// <param name="WhyNoHeadBefore">Why what stood there before has none; null where it has one, or nothing stood there.</param>
public sealed record RestoredArchive(ArchiveVerification Found, string? SetAside, ArchiveHead? HeadBefore, string? WhyNoHeadBefore)
{
    /// <summary>How many records what was set aside has beyond what is in place now; null where they are not of one archive, or that cannot be told.</summary>
    public long? RecordsOnlySetAside { get; init; }
}
