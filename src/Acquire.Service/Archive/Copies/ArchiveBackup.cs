using Acquire.Service.Archive.Chain;
using Acquire.Service.Archive.Database;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Copies;

/// <summary>Copies a whole archive of one moment, while the service may write on.</summary>
public static class ArchiveBackup
{
    /// <summary>Makes a copy, compares all of it with its chain, and only then gives it its name. On the disk when this returns.</summary>
    /// <param name="path">The archive.</param>
    /// <param name="copy">File to make; nothing may stand there.</param>
    /// <returns>What the verification of the copy found: sound, and not older than the moment this was called.</returns>
    /// <exception cref="ArchiveRefusedException">The archive cannot be copied, or the copy is not sound; there is no copy then.</exception>
    public static ArchiveVerification Make(string path, string copy)
    {
        RefuseExisting(copy);
        var begun = copy + ".partial";
        var head = ArchiveHead.ReadFrom(path);
        try
        {
            using (var connection = ChainFile.Open(path))
            {
                ArchiveCopy.Write(connection, begun);
            }

            var found = ArchiveVerifier.Verify(begun, head);
            if (!found.Sound)
            {
                throw new ArchiveRefusedException($"The copy of {path} is not sound, and was not kept: {found.Faults[0]}. Verify the archive itself (acquire archive verify).");
            }

            File.Move(begun, copy, overwrite: false);
            return found;
        }
        catch (Exception exception) when (exception is SqliteException or IOException or UnauthorizedAccessException)
        {
            throw new ArchiveRefusedException($"The archive {path} cannot be copied to {copy}: {SqliteFault.Explain(exception, copy)}.", exception);
        }
        finally
        {
            ArchiveCopy.Discard(begun);
        }
    }

    private static void RefuseExisting(string copy)
    {
        if (Path.Exists(copy))
        {
            throw new ArchiveRefusedException($"There is {copy} already; a copy never takes the place of another. Choose another name.");
        }

        try
        {
            Directory.CreateDirectory(Path.GetDirectoryName(Path.GetFullPath(copy))!);
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            throw new ArchiveRefusedException($"The folder of {copy} cannot be made: {exception.Message}", exception);
        }
    }
}
