using System.Globalization;
using System.Security.Cryptography;
using System.Text;

namespace Acquire.Service.Archive.Chain;

/// <summary>The end of the chain at some moment. Kept elsewhere, it proves later that nothing up to there was changed or taken away.</summary>
/// <param name="Archive">Id of the archive.</param>
/// <param name="Link">Number of the last link.</param>
/// <param name="Digest">Digest of that link, 32 bytes.</param>
/// <param name="Signature">ECDSA P-256 signature with SHA-256 over <see cref="SignedBytes"/>, DER; null where it was not signed.</param>
public sealed record ArchiveHead(string Archive, long Link, ReadOnlyMemory<byte> Digest, ReadOnlyMemory<byte>? Signature)
{
    /// <summary>What is signed: four lines of ASCII, each ended by a newline: `acquire-archive-head-1`, archive, link, digest in small hexadecimal digits.</summary>
    public byte[] SignedBytes() => Encoding.ASCII.GetBytes(string.Create(CultureInfo.InvariantCulture, $"acquire-archive-head-1\n{Archive}\n{Link}\n{Convert.ToHexStringLower(Digest.Span)}\n"));

    /// <summary>The same head with a signature.</summary>
    public ArchiveHead Sign(ECDsa key)
    {
        ArgumentNullException.ThrowIfNull(key);
        return this with { Signature = key.SignData(SignedBytes(), HashAlgorithmName.SHA256, DSASignatureFormat.Rfc3279DerSequence) };
    }

    /// <summary>Whether the signature is there and is of that key over this head.</summary>
    public bool IsSignedBy(ECDsa key)
    {
        ArgumentNullException.ThrowIfNull(key);
        return Signature is { } signature && key.VerifyData(SignedBytes(), signature.Span, HashAlgorithmName.SHA256, DSASignatureFormat.Rfc3279DerSequence);
    }

    /// <summary>The newest head of an archive; the service may write meanwhile.</summary>
    /// <exception cref="ArchiveRefusedException">The file is not there, is no archive, is damaged, or has no chain.</exception>
    public static ArchiveHead ReadFrom(string archivePath)
    {
        try
        {
            using var connection = ChainFile.Open(archivePath);
            return ChainFile.HeadOf(connection) ?? throw new ArchiveRefusedException($"The chain of the archive {archivePath} is empty. Verify it.");
        }
        catch (Microsoft.Data.Sqlite.SqliteException exception)
        {
            throw new ArchiveRefusedException($"The archive {archivePath} cannot be read: {Database.SqliteFault.Explain(exception, archivePath)}.", exception);
        }
    }
}
