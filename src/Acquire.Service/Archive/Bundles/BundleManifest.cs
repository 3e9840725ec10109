using System.Text;
using System.Text.Json;
using System.Text.Json.Serialization;
using Acquire.Service.Archive.Chain;

namespace Acquire.Service.Archive.Bundles;

/// <summary>A file of a bundle, as the manifest knows it.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Bytes">Its length.</param>
/// <param name="Sha256">Its SHA-256, small hexadecimal digits.</param>
/// <param name="PackedBytes">Its length as it lies in the bundle.</param>
/// <param name="PackedSha256">SHA-256 of its bytes as they lie in the bundle.</param>
public sealed record BundledFile(string Name, long Bytes, string Sha256, long PackedBytes, string PackedSha256);

/// <summary>What a bundle says of itself.</summary>
/// <param name="Format">The word and the version of the format.</param>
/// <param name="Run">Id of the run.</param>
/// <param name="Archive">Id of the archive that it was taken from.</param>
/// <param name="RunNumber">The run's number there; it is in the digest of each record.</param>
/// <param name="Records">How many records there are.</param>
/// <param name="HeadLink">Number of the newest link of that archive's chain when the bundle was made.</param>
/// <param name="HeadDigest">Digest of that link, small hexadecimal digits.</param>
/// <param name="ContentVersion">Version of that archive's content.</param>
/// <param name="SoftwareVersion">Version of the program that made the bundle.</param>
/// <param name="MadeAtUtc">When.</param>
/// <param name="Files">The other files of the bundle but the signature, in their order.</param>
public sealed record BundleManifest(
    string Format,
    string Run,
    string Archive,
    long RunNumber,
    int Records,
    long HeadLink,
    string HeadDigest,
    int ContentVersion,
    string SoftwareVersion,
    DateTimeOffset MadeAtUtc,
    IReadOnlyList<BundledFile> Files)
{
    /// <summary>The format that this program writes and reads.</summary>
    public const string ThisFormat = "acquire-run-bundle-1";

    private const string AnyFormat = "acquire-run-bundle-";
    private const int LongestText = 200;

    private static readonly JsonSerializerOptions Options = new(JsonSerializerDefaults.Web)
    {
        WriteIndented = true,
        NewLine = "\n",
        AllowDuplicateProperties = false,
        PropertyNameCaseInsensitive = false,
        RespectNullableAnnotations = true,
        RespectRequiredConstructorParameters = true,
        UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow,
        NumberHandling = JsonNumberHandling.Strict,
    };

    /// <summary>The head of the archive when the bundle was made.</summary>
    [JsonIgnore]
    public ArchiveHead Head => new(Archive, HeadLink, Convert.FromHexString(HeadDigest), null);

    /// <summary>The text of the file.</summary>
    internal byte[] Write() => JsonSerializer.SerializeToUtf8Bytes(this, Options);

    /// <summary>Reads the text of the file. Null, with what is wrong, where it is no manifest of a version that this program knows.</summary>
    internal static BundleManifest? TryRead(byte[] json, out string? fault)
    {
        fault = null;
        try
        {
            if (FormatOf(json) is { } format && format.StartsWith(AnyFormat, StringComparison.Ordinal) && format != ThisFormat)
            {
                fault = $"it is of the format {Shown(format)}, and this program reads {ThisFormat}: it was made by a newer program; install that";
                return null;
            }

            var manifest = JsonSerializer.Deserialize<BundleManifest>(json, Options);
            fault = manifest is null ? "its manifest is empty" : manifest.Fault();
            return fault is null ? manifest : null;
        }
        catch (JsonException exception)
        {
            fault = $"its manifest cannot be read: {exception.Message}";
            return null;
        }
    }

    private static string? FormatOf(byte[] json)
    {
        using var document = JsonDocument.Parse(json);
        return document.RootElement.ValueKind == JsonValueKind.Object && document.RootElement.TryGetProperty("format", out var format) && format.ValueKind == JsonValueKind.String ? format.GetString() : null;
    }

    private string? Fault() => this switch
    {
        { Format: not ThisFormat } => $"its format is {Shown(Format)}; allowed: {ThisFormat}",
        _ when BundleRules.WhyNoRunId(Run) is { } no => $"its run {no}",
        _ when !Guid.TryParseExact(Archive, "D", out _) => "its archive is not an id of an archive",
        { RunNumber: < 1 } => "its runNumber is not a whole number from 1",
        { Records: < 1 } => "its records is not a whole number from 1",
        { HeadLink: < 0 } => "its headLink is not a whole number from 0",
        { ContentVersion: < Database.ArchiveSchema.ChainVersion or > Database.ArchiveSchema.Version } => $"its records are of version {ContentVersion}; this program knows {Database.ArchiveSchema.ChainVersion} to {Database.ArchiveSchema.Version}. Install the newer program",
        _ when !IsDigest(HeadDigest) => "its headDigest is not 64 small hexadecimal digits",
        _ when BundleRules.WhyNoText(SoftwareVersion, LongestText) is { } no => $"its softwareVersion {no}",
        _ when Files.Any(file => file is null) => "its files are not all named",
        _ when Files.FirstOrDefault(file => !BundleFiles.All.Contains(file.Name) || file.Bytes < 0 || file.PackedBytes < 0 || !IsDigest(file.Sha256) || !IsDigest(file.PackedSha256)) is { } wrong => $"its file {Shown(wrong.Name)} has no length or digest that could be",
        _ when MadeAtUtc.Offset != TimeSpan.Zero => "its madeAtUtc is not in UTC",
        _ => null,
    };

    private static bool IsDigest(string text) => text.Length == 64 && text.All(char.IsAsciiHexDigitLower);

    private static string Shown(string text) => $"'{(text.Length > LongestText ? text[..LongestText] : text)}'";

    /// <summary>The text that is signed: four lines of ASCII, each ended by a newline: `acquire-run-bundle-1`, archive, run, SHA-256 of the manifest in small hexadecimal digits.</summary>
    internal byte[] SignedBytes(byte[] manifest) => Encoding.ASCII.GetBytes($"{ThisFormat}\n{Archive}\n{Run}\n{Convert.ToHexStringLower(System.Security.Cryptography.SHA256.HashData(manifest))}\n");
}
