using System.Diagnostics.CodeAnalysis;
using System.Security.Cryptography;
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

        if (!TryKey(keyFile, archivePath, out var key, out error))
        {
            return false;
        }

        using (key)
        {
            signed = head.Sign(key);
            return true;
        }
    }

    /// <summary>Reads a private key that lies elsewhere than the archive. False, with what is wrong, where it cannot be used.</summary>
    public static bool TryKey(string keyFile, string archivePath, [NotNullWhen(true)] out ECDsa? key, [NotNullWhen(false)] out InputError? error)
    {
        key = null;
        error = KeyFile.LiesIn(keyFile, Path.GetDirectoryName(Path.GetFullPath(archivePath))!)
            ? new("--sign", $"{keyFile} lies in the archive's folder: whoever can change the archive could sign it anew. Keep the key elsewhere")
            : null;
        return error is null && KeyFile.TryRead(keyFile, toSign: true, out key, out error);
    }
}
