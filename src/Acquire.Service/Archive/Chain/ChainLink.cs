using System.Buffers.Binary;
using System.Security.Cryptography;

namespace Acquire.Service.Archive.Chain;

/// <summary>One link of the chain: which record it is of, the record's digest, and a digest of all that and of the link before.</summary>
/// <param name="Number">Its place, from 0.</param>
/// <param name="Kind">Code of the record's kind.</param>
/// <param name="Run">Number of the run; 0 for the start.</param>
/// <param name="Part">Which of the run's records of that kind; 0 where a run has one.</param>
/// <param name="Record">Digest of the record.</param>
/// <param name="Digest">Digest of the link.</param>
internal sealed record ChainLink(long Number, long Kind, long Run, long Part, byte[] Record, byte[] Digest)
{
    /// <summary>Bytes of a digest.</summary>
    public const int DigestBytes = SHA256.HashSizeInBytes;

    private static ReadOnlySpan<byte> Domain => "acquire-archive-link-1\0"u8;

    /// <summary>What stands for the link before the first.</summary>
    public static byte[] Nothing { get; } = new byte[DigestBytes];

    /// <summary>The digest that a link must have.</summary>
    /// <remarks>SHA-256 over the ASCII text `acquire-archive-link-1`, a zero, the digest before, number, kind, run and part (8 bytes each, little-endian), the record's digest.</remarks>
    public static byte[] DigestOf(ReadOnlySpan<byte> before, long number, long kind, long run, long part, ReadOnlySpan<byte> record)
    {
        Span<byte> bytes = stackalloc byte[Domain.Length + (2 * DigestBytes) + 32];
        Domain.CopyTo(bytes);
        var rest = bytes[Domain.Length..];
        before[..DigestBytes].CopyTo(rest);
        BinaryPrimitives.WriteInt64LittleEndian(rest[32..], number);
        BinaryPrimitives.WriteInt64LittleEndian(rest[40..], kind);
        BinaryPrimitives.WriteInt64LittleEndian(rest[48..], run);
        BinaryPrimitives.WriteInt64LittleEndian(rest[56..], part);
        record[..DigestBytes].CopyTo(rest[64..]);
        return SHA256.HashData(bytes);
    }

    /// <summary>Whether the link follows the digest before it and holds what was written.</summary>
    public bool Follows(ReadOnlySpan<byte> before) =>
        Record.Length == DigestBytes && Digest.Length == DigestBytes && DigestOf(before, Number, Kind, Run, Part, Record).AsSpan().SequenceEqual(Digest);
}
