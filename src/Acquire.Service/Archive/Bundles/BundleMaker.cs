using System.Security.Cryptography;
using Acquire.Service.Archive.Chain;
using Acquire.Service.Archive.Database;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Bundles;

/// <summary>What goes into a bundle beside the run itself.</summary>
internal sealed record BundleOptions
{
    /// <summary>Whether all links up to the head go with it.</summary>
    public bool Witness { get; init; }

    /// <summary>What the wire said; null to leave it out.</summary>
    public byte[]? Wire { get; init; }

    /// <summary>Key to sign it with; null for none.</summary>
    public ECDsa? Key { get; init; }
}

/// <summary>Makes a bundle of a run that has ended. Reads the archive as it is at one moment; the service may write meanwhile.</summary>
internal static class BundleMaker
{
    /// <summary>The whole bundle. Null, with why not, where there is no such run, it is open, or its record is not as it was written.</summary>
    /// <param name="path">The archive's file.</param>
    /// <param name="id">Run id.</param>
    /// <param name="copies">The copies for people, by name.</param>
    /// <param name="options">What else goes into it.</param>
    /// <param name="madeAt">When.</param>
    /// <param name="softwareVersion">Version of this program.</param>
    /// <param name="fault">Why not.</param>
    public static byte[]? TryMake(string path, string id, IReadOnlyDictionary<string, byte[]> copies, BundleOptions options, DateTimeOffset madeAt, string softwareVersion, out string? fault)
    {
        using var connection = ChainFile.Open(path);
        using var moment = connection.BeginTransaction(deferred: true);
        if (NumberOf(connection, id, out fault) is not { } run)
        {
            return null;
        }

        var (records, links) = Collect(connection, run, out fault);
        if (fault is not null || ChainFile.HeadOf(connection) is not { } head)
        {
            fault ??= "the archive has no chain";
            return null;
        }

        var files = new List<BundleEntry> { BundleEntry.Packing(BundleFiles.Records, records), BundleEntry.Stored(BundleFiles.Links, LinksFile.Write(links)) };
        if (options.Witness)
        {
            if (head.Link - links[0].Number >= WitnessFile.MostLinks)
            {
                fault = $"there are {head.Link - links[0].Number + 1} links from it to the head; a witness holds at most {WitnessFile.MostLinks}. Bundle it without";
                return null;
            }

            files.Add(BundleEntry.Stored(BundleFiles.Witness, WitnessFile.Write(ChainFrom(connection, links[0].Number))));
        }

        var content = options.Wire is { } wire ? copies.Append(new(BundleFiles.Wire, wire)) : copies;
        files.AddRange(content.Select(copy => BundleEntry.Packing(copy.Key, copy.Value)));
        files.Sort((one, other) => Order(one.Name).CompareTo(Order(other.Name)));
        var manifest = new BundleManifest(
            BundleManifest.ThisFormat, id, head.Archive, run, links.Count, head.Link, Convert.ToHexStringLower(head.Digest.Span), (int)ArchiveSchema.VersionOf(connection), softwareVersion, madeAt.ToUniversalTime(), [.. files.Select(Named)]);
        return Whole(manifest, files, options.Key, out fault);
    }

    private static byte[]? Whole(BundleManifest manifest, List<BundleEntry> files, ECDsa? key, out string? fault)
    {
        fault = BundleFiles.WhyTooLarge(files);
        if (fault is not null)
        {
            return null;
        }

        var text = manifest.Write();
        var entries = files.Prepend(BundleEntry.Stored(BundleFiles.Manifest, text));
        var whole = BundleZip.Write([.. key is null ? entries : entries.Append(BundleEntry.Stored(BundleFiles.Signature, BundleSignature.Sign(key, manifest.SignedBytes(text)).Write()))]);
        fault = whole.Length > BundleFiles.MostBytes ? $"it would have {whole.Length} bytes; a bundle has at most {BundleFiles.MostBytes}" : null;
        return fault is null ? whole : null;
    }

    private static int Order(string name)
    {
        for (var i = 0; i < BundleFiles.All.Count; i++)
        {
            if (BundleFiles.All[i] == name)
            {
                return i;
            }
        }

        throw new ArgumentOutOfRangeException(nameof(name), name, "No bundle holds such a file.");
    }

    private static BundledFile Named(BundleEntry entry)
    {
        var content = entry.Content(out var fault) ?? throw new InvalidOperationException(fault);
        return new(entry.Name, entry.Length, Convert.ToHexStringLower(SHA256.HashData(content)), entry.Packed.Length, Convert.ToHexStringLower(SHA256.HashData(entry.Packed.Span)));
    }

    private static long? NumberOf(SqliteConnection connection, string id, out string? fault)
    {
        using var command = connection.CreateCommand();
        command.CommandText = "SELECT number, id, closed_at_utc, interrupted_at_utc FROM runs WHERE id = $id";
        command.Parameters.AddWithValue("$id", id);
        using var reader = command.ExecuteReader();
        fault = !reader.Read() ? $"there is no run '{id}'"
            : reader.IsDBNull(2) && reader.IsDBNull(3) ? $"run {id} is open; a bundle is of a run that has ended"
            : BundleRules.WhyNoRunId(id) is { } no ? $"'{id}' {no}"
            : null;
        return fault is null ? reader.GetInt64(0) : null;
    }

    // Each record is compared with its link, so that a bundle never carries on what was altered here.
    private static (byte[] Records, List<OriginLink> Links) Collect(SqliteConnection connection, long run, out string? fault)
    {
        var (file, links, digest) = (RecordsFile.Begin(), new List<OriginLink>(), new RecordDigest());
        fault = null;
        using var command = connection.CreateCommand();
        var kinds = BundleRecord.Kinds.Intersect(RecordKind.In(ArchiveSchema.VersionOf(connection))).ToDictionary(kind => (long)kind.Code);
        command.CommandText = $"""
            SELECT c.link, c.kind, c.run, c.part, c.record, c.digest, coalesce(b.digest, zeroblob(32)) FROM chain AS c LEFT JOIN chain AS b ON b.link = c.link - 1
            WHERE c.run = {run} AND c.kind IN ({string.Join(", ", kinds.Keys)}) ORDER BY c.link
            """;
        using var reader = command.ExecuteReader();
        while (reader.Read() && fault is null)
        {
            var link = new ChainLink(reader.GetInt64(0), reader.GetInt64(1), run, reader.GetInt64(3), reader.GetFieldValue<byte[]>(4), reader.GetFieldValue<byte[]>(5));
            var (kind, before) = (kinds[link.Kind], reader.GetFieldValue<byte[]>(6));
            if (!link.Follows(before) || !TryAdd(connection, kind, link, digest, file))
            {
                fault = $"its {ArchiveFault.Name(kind, link.Part)} is not what was written. Verify the archive (acquire archive verify)";
            }

            links.Add(new(link.Number, before, link.Digest));
        }

        fault ??= links.Count == 0 ? "its records have no place in the chain. Verify the archive (acquire archive verify)" : null;
        return (file.WrittenSpan.ToArray(), links);
    }

    private static bool TryAdd(SqliteConnection connection, RecordKind kind, ChainLink link, RecordDigest digest, System.Buffers.ArrayBufferWriter<byte> file)
    {
        using var select = connection.CreateCommand();
        select.CommandText = kind.Select;
        select.Parameters.AddWithValue("$run", link.Run);
        select.Parameters.AddWithValue("$part", link.Part);
        using var row = select.ExecuteReader();
        if (!row.Read())
        {
            return false;
        }

        var bytes = digest.BytesOf(kind, row);
        RecordsFile.Add(file, bytes);
        return SHA256.HashData(bytes).AsSpan().SequenceEqual(link.Record);
    }

    private static List<ChainLink> ChainFrom(SqliteConnection connection, long first)
    {
        using var command = connection.CreateCommand();
        command.CommandText = "SELECT link, kind, run, part, record, digest FROM chain WHERE link >= $first ORDER BY link";
        command.Parameters.AddWithValue("$first", first);
        using var reader = command.ExecuteReader();
        var links = new List<ChainLink>();
        while (reader.Read())
        {
            links.Add(new(reader.GetInt64(0), reader.GetInt64(1), reader.GetInt64(2), reader.GetInt64(3), reader.GetFieldValue<byte[]>(4), reader.GetFieldValue<byte[]>(5)));
        }

        return links;
    }
}
