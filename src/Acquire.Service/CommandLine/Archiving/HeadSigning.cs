using System.Diagnostics.CodeAnalysis;
using Acquire.Core;
using Acquire.Service.Archive.Chain;

namespace Acquire.Service.CommandLine.Archiving;

/// <summary>Signs heads with a key that lies elsewhere than the archive.</summary>
internal static class HeadSigning
{
    /// <summary>Signs a head, where a key is given. False, with what is wrong, where that key cannot be used.</summary>
    /// <param name="head">The head.</param>
    /// <param name="keyFile">The private key; null: the head is not signed.</param>
    /// <param name="archivePath">The archive, in whose folder no key may lie.</param>
    /// <param name="signed">The head, signed where a key is given.</param>
    /// <param name="error">What is wrong.</param>
    public static bool TrySign(ArchiveHead head, string? keyFile, string archivePath, [NotNullWhen(true)] out ArchiveHead? signed, [NotNullWhen(false)] out InputError? error)
    {
        (signed, error) = (null, null);
        if (keyFile is null)
        {
            signed = head;
            return true;
        }

        if (LiesIn(keyFile, Path.GetDirectoryName(Path.GetFullPath(archivePath))!))
        {
            error = new("--sign", $"{keyFile} lies in the archive's folder: whoever can change the archive could sign it anew. Keep the key elsewhere");
            return false;
        }

        if (!KeyFile.TryRead(keyFile, toSign: true, out var key, out error))
        {
            return false;
        }

        using (key)
        {
            signed = head.Sign(key);
            return true;
        }
    }

    private static bool LiesIn(string file, string folder) =>
        Path.GetRelativePath(folder, Path.GetFullPath(file)) is var relative && !Path.IsPathRooted(relative) && !relative.StartsWith("..", StringComparison.Ordinal);
}
