using System.Buffers.Text;
using System.Security.Cryptography;
using System.Text.Json;
using System.Text.Json.Serialization;

namespace Acquire.Service.Archive.Bundles;

/// <summary>Who signed a bundle: ECDSA P-256 with SHA-256 over <see cref="BundleManifest.SignedBytes"/>.</summary>
/// <param name="PublicKey">The public key, SubjectPublicKeyInfo (DER).</param>
/// <param name="Signature">The signature, DER.</param>
internal sealed record BundleSignature(byte[] PublicKey, byte[] Signature)
{
    private const string Format = "acquire-run-bundle-signature-1";
    private const int MostKeyBytes = 256;
    private const int MostSignatureBytes = 128;

    private static readonly JsonSerializerOptions Options = new(JsonSerializerDefaults.Web)
    {
        WriteIndented = true,
        NewLine = "\n",
        AllowDuplicateProperties = false,
        PropertyNameCaseInsensitive = false,
        UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow,
    };

    /// <summary>SHA-256 of the public key, by which people compare keys.</summary>
    public string Fingerprint => FingerprintOf(PublicKey);

    /// <summary>SHA-256 of a public key.</summary>
    public static string FingerprintOf(byte[] publicKey) => Convert.ToHexStringLower(SHA256.HashData(publicKey));

    /// <summary>Signs a text.</summary>
    public static BundleSignature Sign(ECDsa key, byte[] text) => new(key.ExportSubjectPublicKeyInfo(), key.SignData(text, HashAlgorithmName.SHA256, DSASignatureFormat.Rfc3279DerSequence));

    /// <summary>Whether it is of that key, over that text.</summary>
    public bool IsOf(ECDsa key, byte[] text) =>
        key.ExportSubjectPublicKeyInfo().AsSpan().SequenceEqual(PublicKey) && key.VerifyData(text, Signature, HashAlgorithmName.SHA256, DSASignatureFormat.Rfc3279DerSequence);

    /// <summary>The file.</summary>
    public byte[] Write() => JsonSerializer.SerializeToUtf8Bytes(new Body(Format, Convert.ToBase64String(PublicKey), Convert.ToBase64String(Signature)), Options);

    /// <summary>Reads the file. Null where it is none.</summary>
    public static BundleSignature? TryRead(byte[] json)
    {
        try
        {
            return JsonSerializer.Deserialize<Body>(json, Options) is { Format: Format, PublicKey: { } key, Signature: { } signature }
                && Base64.IsValid(key, out var keyBytes) && keyBytes <= MostKeyBytes && Base64.IsValid(signature, out var bytes) && bytes <= MostSignatureBytes
                ? new(Convert.FromBase64String(key), Convert.FromBase64String(signature))
                : null;
        }
        catch (JsonException)
        {
            return null;
        }
    }

    private sealed record Body(string? Format, string? PublicKey, string? Signature);
}
