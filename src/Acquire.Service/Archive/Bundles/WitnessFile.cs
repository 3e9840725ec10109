using System.Buffers.Binary;
using System.Globalization;
using Acquire.Service.Archive.Chain;

namespace Acquire.Service.Archive.Bundles;

/// <summary>All links of an archive from a run's first to its newest: whoever has a head that was handed out can compute that the run belongs under it.</summary>
/// <remarks>
/// The ASCII text `acquire-run-witness-1`, a zero, then each link, little-endian: kind, run and part (8 bytes each), the digest of its record (32).
/// Of other runs that is a number and a digest, and nothing of what they hold.
/// </remarks>
internal static class WitnessFile
{
    /// <summary>Most links.</summary>
    public const int MostLinks = 1_000_000;

    private const int LinkBytes = 24 + ChainLink.DigestBytes;

    private static ReadOnlySpan<byte> Domain => "acquire-run-witness-1\0"u8;

    /// <summary>The whole file.</summary>
    public static byte[] Write(IReadOnlyList<ChainLink> links)
    {
        var file = new byte[Domain.Length + (links.Count * LinkBytes)];
        Domain.CopyTo(file);
        var rest = file.AsSpan(Domain.Length);
        foreach (var link in links)
        {
            BinaryPrimitives.WriteInt64LittleEndian(rest, link.Kind);
            BinaryPrimitives.WriteInt64LittleEndian(rest[8..], link.Run);
            BinaryPrimitives.WriteInt64LittleEndian(rest[16..], link.Part);
            link.Record.CopyTo(rest[24..]);
            rest = rest[LinkBytes..];
        }

        return file;
    }

    /// <summary>Computes the digest of every link and compares those of the run, and the head. Null, with what is wrong, where they do not fit.</summary>
    /// <param name="file">The file.</param>
    /// <param name="links">The links of the run.</param>
    /// <param name="head">The head that the bundle names.</param>
    /// <param name="fault">What is wrong.</param>
    public static ChainStretch? TryRead(ReadOnlySpan<byte> file, IReadOnlyList<OriginLink> links, ArchiveHead head, out string? fault)
    {
        var count = (head.Link - links[0].Number) + 1;
        if (count is < 1 or > MostLinks || file.Length != Domain.Length + (count * LinkBytes) || !file.StartsWith(Domain))
        {
            fault = "its witness does not reach from its first link to its head";
            return null;
        }

        var (digests, before, own) = (new byte[count][], links[0].Before, 0);
        for (var i = 0; i < count; i++)
        {
            var bytes = file[(Domain.Length + (i * LinkBytes))..];
            var number = links[0].Number + i;
            before = digests[i] = ChainLink.DigestOf(
                before, number, BinaryPrimitives.ReadInt64LittleEndian(bytes), BinaryPrimitives.ReadInt64LittleEndian(bytes[8..]), BinaryPrimitives.ReadInt64LittleEndian(bytes[16..]), bytes.Slice(24, ChainLink.DigestBytes));
            if (own < links.Count && links[own].Number == number && !links[own++].Digest.AsSpan().SequenceEqual(before))
            {
                fault = string.Create(CultureInfo.InvariantCulture, $"its witness does not hold its link {number}");
                return null;
            }
        }

        fault = own == links.Count && before.AsSpan().SequenceEqual(head.Digest.Span) ? null : "its witness does not lead to its head";
        return fault is null ? new(links[0].Number, digests) : null;
    }
}

/// <summary>Digests of a stretch of a chain.</summary>
/// <param name="First">Number of the first link.</param>
/// <param name="Digests">The digest of each.</param>
internal sealed record ChainStretch(long First, IReadOnlyList<byte[]> Digests)
{
    /// <summary>Whether a head is one of these links: null where it is older or newer than all of them.</summary>
    public bool? Holds(ArchiveHead head)
    {
        var at = head.Link - First;
        return at < 0 || at >= Digests.Count ? null : head.Digest.Span.SequenceEqual(Digests[(int)at]);
    }
}
