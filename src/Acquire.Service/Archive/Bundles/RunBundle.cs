using System.Security.Cryptography;
using Acquire.Service.Archive.Chain;

namespace Acquire.Service.Archive.Bundles;

/// <summary>A bundle that was read: whole, unchanged since it was made, each record in the place of the chain that it had. Whether its content makes sense is another question.</summary>
internal sealed class RunBundle
{
    private RunBundle(byte[] sha256, BundleManifest manifest, byte[] manifestText) => (Sha256, Manifest, ManifestText) = (sha256, manifest, manifestText);

    /// <summary>SHA-256 of the whole file.</summary>
    public byte[] Sha256 { get; }

    /// <summary>What it says of itself.</summary>
    public BundleManifest Manifest { get; }

    /// <summary>The manifest as it stands in the file.</summary>
    public byte[] ManifestText { get; }

    /// <summary>The records, in the order of the chain.</summary>
    public IReadOnlyList<BundleRecord> Records { get; private set; } = [];

    /// <summary>The places of the records in the origin's chain, as they stand in the file.</summary>
    public byte[] LinksText { get; private set; } = [];

    /// <summary>The same, read.</summary>
    public IReadOnlyList<OriginLink> Links { get; private set; } = [];

    /// <summary>The origin's chain from the run to the head; null where the bundle does not have it.</summary>
    public ChainStretch? Witness { get; private set; }

    /// <summary>Who signed it; null where nobody did.</summary>
    public BundleSignature? Signature { get; private set; }

    /// <summary>The signature as it stands in the file; null where there is none.</summary>
    public byte[]? SignatureText { get; private set; }

    /// <summary>What the wire said; null where the bundle does not have it.</summary>
    public byte[]? Wire { get; private set; }

    /// <summary>What is signed.</summary>
    public byte[] SignedText => Manifest.SignedBytes(ManifestText);

    /// <summary>Reads a bundle from outside. Null, with what is wrong, where a single byte is not as it was written.</summary>
    public static RunBundle? TryRead(ReadOnlyMemory<byte> file, out string? fault)
    {
        if (file.Length > BundleFiles.MostBytes)
        {
            fault = $"it has {file.Length} bytes; a bundle has at most {BundleFiles.MostBytes}";
            return null;
        }

        if (BundleZip.TryRead(file, BundleFiles.All, out fault) is not { } entries)
        {
            return null;
        }

        if (entries[0] is not { Name: BundleFiles.Manifest, Deflated: false } first || first.Content(out fault) is not { } text)
        {
            fault ??= "it does not begin with its manifest";
            return null;
        }

        if (BundleManifest.TryRead(text, out fault) is not { } manifest)
        {
            return null;
        }

        var bundle = new RunBundle(SHA256.HashData(file.Span), manifest, text);
        fault = bundle.Compare(entries) ?? bundle.Take(entries);
        return fault is null ? bundle : null;
    }

    // By their digests as they lie there: nothing is unpacked that is not what was written.
    private string? Compare(List<BundleEntry> entries)
    {
        var files = entries.Where(entry => entry.Name is not (BundleFiles.Manifest or BundleFiles.Signature)).ToList();
        if (!files.Select(entry => entry.Name).SequenceEqual(Manifest.Files.Select(file => file.Name)))
        {
            return "it does not hold the files that its manifest names";
        }

        if (BundleFiles.WhyTooLarge(entries) is { } large)
        {
            return large;
        }

        foreach (var (entry, file) in files.Zip(Manifest.Files))
        {
            if (entry.Length != file.Bytes || entry.Packed.Length != file.PackedBytes || Convert.ToHexStringLower(SHA256.HashData(entry.Packed.Span)) != file.PackedSha256)
            {
                return $"{entry.Name} is not what its manifest names";
            }
        }

        return null;
    }

    private string? Take(List<BundleEntry> entries)
    {
        var contents = new Dictionary<string, byte[]>();
        foreach (var entry in entries.Skip(1))
        {
            if (entry.Content(out var fault) is not { } content)
            {
                return fault;
            }

            if (Manifest.Files.FirstOrDefault(file => file.Name == entry.Name) is { } known && Convert.ToHexStringLower(SHA256.HashData(content)) != known.Sha256)
            {
                return $"{entry.Name} is not what its manifest names";
            }

            contents[entry.Name] = content;
        }

        Wire = contents.GetValueOrDefault(BundleFiles.Wire);
        return TakeSignature(contents.GetValueOrDefault(BundleFiles.Signature)) ?? TakeRecords(contents) ?? TakeWitness(contents.GetValueOrDefault(BundleFiles.Witness));
    }

    private string? TakeSignature(byte[]? text)
    {
        SignatureText = text;
        Signature = text is null ? null : BundleSignature.TryRead(text);
        return text is not null && Signature is null ? "its signature cannot be read" : null;
    }

    private string? TakeRecords(Dictionary<string, byte[]> contents)
    {
        if (contents.GetValueOrDefault(BundleFiles.Records) is not { } file || contents.GetValueOrDefault(BundleFiles.Links) is not { } links)
        {
            return $"it has no {BundleFiles.Records} or no {BundleFiles.Links}";
        }

        if (RecordsFile.TryRead(file, out var fault) is not { } records)
        {
            return fault;
        }

        if (records.Count != Manifest.Records || records[0].Kind != RecordKind.Header || records[0]["id"] as string != Manifest.Run)
        {
            return "its records are not those that its manifest names";
        }

        (Records, LinksText, Links) = (records, links, LinksFile.TryRead(links, records, Manifest.RunNumber, out fault) ?? []);
        return fault ?? (Links[^1].Number > Manifest.HeadLink ? "its head is older than its newest record" : null);
    }

    private string? TakeWitness(byte[]? file)
    {
        string? fault = null;
        Witness = file is null ? null : WitnessFile.TryRead(file, Links, Manifest.Head, out fault);
        return fault;
    }
}
