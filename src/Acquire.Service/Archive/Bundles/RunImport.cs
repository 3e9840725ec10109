namespace Acquire.Service.Archive.Bundles;

/// <summary>That a run came from another archive.</summary>
/// <param name="Number">Which of the run's imports, from 1: a run can go from archive to archive.</param>
/// <param name="At">When, UTC.</param>
/// <param name="Person">Who answers for it.</param>
/// <param name="Reason">Why.</param>
/// <param name="SoftwareVersion">Version of the program that imported and judged it.</param>
/// <param name="Repeats">Whether that program came to the results in the record; null for a run without one.</param>
/// <param name="BundleSha256">SHA-256 of the bundle, small hexadecimal digits.</param>
/// <param name="OriginArchive">Id of the archive that it was taken from.</param>
/// <param name="OriginRun">Its number there; it is in the digest of each record there.</param>
/// <param name="OriginVersion">Version of the program that made the bundle.</param>
/// <param name="OriginLink">Number of the newest link of that archive's chain then.</param>
/// <param name="OriginDigest">Digest of that link, small hexadecimal digits.</param>
/// <param name="Signer">SHA-256 of the public key by which the bundle was found to be signed; null where that was not looked at.</param>
public sealed record RunImport(
    int Number,
    DateTimeOffset At,
    string Person,
    string Reason,
    string SoftwareVersion,
    bool? Repeats,
    string BundleSha256,
    string OriginArchive,
    long OriginRun,
    string OriginVersion,
    long OriginLink,
    string OriginDigest,
    string? Signer)
{
    /// <summary>The import of a bundle.</summary>
    internal static RunImport Of(RunBundle bundle, DateTimeOffset at, string person, string reason, string softwareVersion, bool? repeats, string? signer) => new(
        1 + bundle.Records.Count(record => record.Kind == Chain.RecordKind.Import), at, person, reason, softwareVersion, repeats, Convert.ToHexStringLower(bundle.Sha256),
        bundle.Manifest.Archive, bundle.Manifest.RunNumber, bundle.Manifest.SoftwareVersion, bundle.Manifest.HeadLink, bundle.Manifest.HeadDigest, signer);
}
