using System.Buffers.Binary;
using System.Globalization;
using Acquire.Service.Archive.Chain;

namespace Acquire.Service.Archive.Bundles;

/// <summary>The places of a run's records in the chain of the archive that they were taken from.</summary>
/// <remarks>
/// The ASCII text `acquire-run-links-1`, a zero, then for each record, in the order of the records, little-endian: the number of its link (8 bytes),
/// the digest of the link before (32), the digest of the link (32).
/// </remarks>
internal static class LinksFile
{
    private const int LinkBytes = 8 + (2 * ChainLink.DigestBytes);

    private static ReadOnlySpan<byte> Domain => "acquire-run-links-1\0"u8;

    /// <summary>The whole file.</summary>
    public static byte[] Write(IReadOnlyList<OriginLink> links)
    {
        var file = new byte[Domain.Length + (links.Count * LinkBytes)];
        Domain.CopyTo(file);
        var rest = file.AsSpan(Domain.Length);
        foreach (var link in links)
        {
            BinaryPrimitives.WriteInt64LittleEndian(rest, link.Number);
            link.Before.CopyTo(rest[8..]);
            link.Digest.CopyTo(rest[(8 + ChainLink.DigestBytes)..]);
            rest = rest[LinkBytes..];
        }

        return file;
    }

    /// <summary>Reads a file and compares it with the records. Null, with what is wrong, where a link does not hold its record, or does not follow.</summary>
    /// <param name="file">The file.</param>
    /// <param name="records">The records.</param>
    /// <param name="run">Number of the run in the archive that they were taken from.</param>
    /// <param name="fault">What is wrong.</param>
    public static List<OriginLink>? TryRead(ReadOnlySpan<byte> file, IReadOnlyList<BundleRecord> records, long run, out string? fault)
    {
        fault = file.Length == Domain.Length + ((long)records.Count * LinkBytes) && file.StartsWith(Domain) ? null : "its links are not as many as its records";
        var links = new List<OriginLink>();
        for (var i = 0; fault is null && i < records.Count; i++)
        {
            var bytes = file[(Domain.Length + (i * LinkBytes))..];
            var link = new OriginLink(BinaryPrimitives.ReadInt64LittleEndian(bytes), bytes.Slice(8, ChainLink.DigestBytes).ToArray(), bytes.Slice(8 + ChainLink.DigestBytes, ChainLink.DigestBytes).ToArray());
            fault = Fault(link, i == 0 ? null : links[^1], records[i], run);
            links.Add(link);
        }

        return fault is null ? links : null;
    }

    private static string? Fault(OriginLink link, OriginLink? last, BundleRecord record, long run)
    {
        var name = ArchiveFault.Name(record.Kind, record.Part);
        if (link.Number <= (last?.Number ?? 0) || (link.Number == last?.Number + 1 && !link.Before.AsSpan().SequenceEqual(last!.Digest)))
        {
            return $"the link of its {name} does not follow the one before";
        }

        var digest = ChainLink.DigestOf(link.Before, link.Number, record.Kind.Code, run, record.Part, record.DigestWith(run));
        return digest.AsSpan().SequenceEqual(link.Digest) ? null : string.Create(CultureInfo.InvariantCulture, $"its {name} is not what link {link.Number} of the archive that it was taken from holds");
    }
}

/// <summary>A link as its archive knew it.</summary>
/// <param name="Number">Its number.</param>
/// <param name="Before">Digest of the link before.</param>
/// <param name="Digest">Its own digest.</param>
internal sealed record OriginLink(long Number, byte[] Before, byte[] Digest);
