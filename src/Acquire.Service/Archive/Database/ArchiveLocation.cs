namespace Acquire.Service.Archive.Database;

/// <summary>Whether a place is fit for the archive: a local disk, and nobody else in it.</summary>
public static class ArchiveLocation
{
    private static readonly string[] NetworkTypes = ["nfs", "nfs4", "cifs", "smb3", "smbfs", "9p", "afs", "ceph", "glusterfs", "lustre", "ncpfs"];

    /// <summary>Refuses a network file system: its locks and its order of writes do not carry a database. Throws <see cref="ArchiveRefusedException"/>.</summary>
    public static void RefuseNetwork(string folder)
    {
        var found = OperatingSystem.IsLinux() ? NetworkTypeOf(File.ReadAllText("/proc/self/mounts"), RealPath(folder))
            : OperatingSystem.IsWindows() && new DriveInfo(folder).DriveType == DriveType.Network ? "network drive"
            : null;
        if (found is not null)
        {
            throw new ArchiveRefusedException($"The archive folder {folder} is on a network file system ({found}), where a power cut or a lost connection can damage it. Choose a folder on a local disk.");
        }
    }

    /// <summary>The type of the network file system that holds the path, null where it is a local one.</summary>
    /// <param name="mounts">Content of /proc/self/mounts.</param>
    /// <param name="path">Absolute path without symbolic links.</param>
    public static string? NetworkTypeOf(string mounts, string path)
    {
        var (longest, type) = (0, "");
        foreach (var line in mounts.Split('\n'))
        {
            var fields = line.Split(' ');
            if (fields.Length < 3)
            {
                continue;
            }

            var point = Unescape(fields[1]).TrimEnd('/') + "/";
            // A later mount on the same point hides the earlier one, hence "not shorter".
            if (point.Length >= longest && (path.TrimEnd('/') + "/").StartsWith(point, StringComparison.Ordinal))
            {
                (longest, type) = (point.Length, fields[2]);
            }
        }

        return NetworkTypes.Contains(type) || type.StartsWith("fuse.", StringComparison.Ordinal) ? type : null;
    }

    /// <summary>The file by which an archive is taken.</summary>
    internal static string LockOf(string path) => path + ".lock";

    /// <summary>Takes the archive for this process until the result is disposed; the system gives it back even after a kill. Throws <see cref="ArchiveRefusedException"/>.</summary>
    public static FileStream Take(string path)
    {
        try
        {
            return new FileStream(LockOf(path), FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None);
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            throw new ArchiveRefusedException($"The archive {path} cannot be taken: another instance of this program has it open, or this user may not write there ({exception.Message})", exception);
        }
    }

    /// <summary>The absolute path without symbolic links.</summary>
    internal static string RealPath(string path)
    {
        var real = "/";
        foreach (var part in Path.GetFullPath(path).Split('/', StringSplitOptions.RemoveEmptyEntries))
        {
            real = Path.Combine(real, part);
            real = Directory.ResolveLinkTarget(real, returnFinalTarget: true)?.FullName ?? real;
        }

        return real;
    }

    // The kernel writes blank, tab, newline and backslash of a mount point as a backslash and three octal digits.
    private static string Unescape(string text) => text.Replace(@"\040", " ", StringComparison.Ordinal)
        .Replace(@"\011", "\t", StringComparison.Ordinal)
        .Replace(@"\012", "\n", StringComparison.Ordinal)
        .Replace(@"\134", @"\", StringComparison.Ordinal);
}
