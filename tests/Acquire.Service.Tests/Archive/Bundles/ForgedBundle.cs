using System.Buffers;
using System.Buffers.Binary;
using System.Security.Cryptography;
using System.Text;
using Acquire.Service.Archive.Bundles;
using Acquire.Service.Archive.Chain;

namespace Acquire.Service.Tests.Archive.Bundles;

/// <summary>What somebody with the program's source can make of a bundle: other content, with every digest and checksum computed anew.</summary>
internal static class ForgedBundle
{
    /// <summary>The bundle with records changed, chain and manifest made to fit.</summary>
    /// <param name="file">The bundle.</param>
    /// <param name="change">Changes a record's columns but the first; null leaves it out.</param>
    /// <param name="turn">Makes a record one of another kind; null: each stays what it is.</param>
    public static byte[] WithRecords(byte[] file, Func<RecordKind, object?[], object?[]?> change, Func<RecordKind, RecordKind>? turn = null)
    {
        var bundle = BundleBench.Read(file);
        var (digest, records, links, before, number) = (new RecordDigest(), RecordsFile.Begin(), new List<OriginLink>(), bundle.Links[0].Before, bundle.Links[0].Number);
        foreach (var record in bundle.Records)
        {
            if (change(record.Kind, [.. record.Values]) is not { } values)
            {
                continue;
            }

            var kind = turn?.Invoke(record.Kind) ?? record.Kind;
            RecordsFile.Add(records, Bytes(kind, values));
            var part = BundleRecord.HasPart(kind) ? (long)values[0]! : 0;
            var link = ChainLink.DigestOf(before, number, kind.Code, bundle.Manifest.RunNumber, part, digest.Of(kind, [bundle.Manifest.RunNumber, .. values]));
            links.Add(new(number++, before, link));
            before = link;
        }

        return WithFiles(file, manifest => manifest with { Records = links.Count, HeadLink = links[^1].Number, HeadDigest = Convert.ToHexStringLower(before) }, new()
        {
            [BundleFiles.Records] = records.WrittenSpan.ToArray(),
            [BundleFiles.Links] = LinksFile.Write(links),
        });
    }

    /// <summary>The bundle with other files and another manifest.</summary>
    public static byte[] WithFiles(byte[] file, Func<BundleManifest, BundleManifest> change, Dictionary<string, byte[]> contents)
    {
        var entries = BundleZip.TryRead(file, BundleFiles.All, out _)!.Skip(1).Where(entry => entry.Name != BundleFiles.Signature)
            .Select(entry => contents.TryGetValue(entry.Name, out var other) ? BundleEntry.Stored(entry.Name, other) : entry).ToList();
        var manifest = change(BundleBench.Read(file).Manifest with
        {
            Files = [.. entries.Select(entry => new BundledFile(entry.Name, entry.Length, Sha(entry.Content(out _)!), entry.Packed.Length, Sha(entry.Packed.ToArray())))],
        });
        return BundleZip.Write([BundleEntry.Stored(BundleFiles.Manifest, manifest.Write()), .. entries]);
    }

    // As the archive digests it, but with a place for values that no archive would hold.
    private static byte[] Bytes(RecordKind kind, object?[] values)
    {
        var bytes = new ArrayBufferWriter<byte>();
        bytes.Write(new byte[BundleRecord.BytesBeforeTail]);
        foreach (var value in values)
        {
            Put(bytes, value);
        }

        var whole = bytes.WrittenSpan.ToArray();
        (whole[RecordDigest.Domain.Length], whole[RecordDigest.Domain.Length + 1]) = (kind.Code, (byte)kind.Fields.Count);
        return whole;
    }

    private static void Put(ArrayBufferWriter<byte> bytes, object? value)
    {
        Span<byte> eight = stackalloc byte[8];
        switch (value)
        {
            case null:
                bytes.Write([RecordDigest.Nothing]);
                break;
            case long whole:
                BinaryPrimitives.WriteInt64LittleEndian(eight, whole);
                bytes.Write([RecordDigest.WholeNumber, .. eight]);
                break;
            case double number:
                BinaryPrimitives.WriteDoubleLittleEndian(eight, number);
                bytes.Write([RecordDigest.Number, .. eight]);
                break;
            default:
                var (tag, content) = value is string text ? (RecordDigest.Text, Encoding.UTF8.GetBytes(text)) : (RecordDigest.Bytes, (byte[])value);
                bytes.Write([tag]);
                bytes.Write(BitConverter.GetBytes(content.Length));
                bytes.Write(content);
                break;
        }
    }

    private static string Sha(byte[] bytes) => Convert.ToHexStringLower(SHA256.HashData(bytes));
}
