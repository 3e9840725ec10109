using System.Globalization;
using Acquire.Core;
using Acquire.Service.Archive.Bundles;
using Acquire.Service.Archive.Chain;

namespace Acquire.Service.CommandLine.Archiving;

/// <summary>A bundle that was read, checked and judged, and by whom it is signed.</summary>
/// <param name="Bundle">The bundle.</param>
/// <param name="Trial">What it holds, judged.</param>
/// <param name="Signer">SHA-256 of the public key that signed it; null where no key was given.</param>
/// <param name="Head">The head under which it was found; null where none was given.</param>
internal sealed record ImportOffer(RunBundle Bundle, BundleTrial Trial, string? Signer, ArchiveHead? Head)
{
    /// <summary>Reads a bundle. Null, with what is wrong, where it cannot be imported into any archive.</summary>
    /// <param name="file">The bundle.</param>
    /// <param name="headFile">A head under which it must belong; null for none.</param>
    /// <param name="keyFile">The key that must have signed it; null for none.</param>
    /// <param name="now">When.</param>
    /// <param name="mistake">What is wrong.</param>
    public static ImportOffer? Read(string file, string? headFile, string? keyFile, DateTimeOffset now, out InputError? mistake)
    {
        if (TryBytes(file, out mistake) is not { } bytes)
        {
            return null;
        }

        if (RunBundle.TryRead(bytes, out var fault) is not { } bundle)
        {
            mistake = Refused(file, fault!);
            return null;
        }

        var head = headFile is null ? null : HeadFile.TryRead(headFile, out mistake);
        mistake ??= head is null ? null : Under(file, bundle, head);
        mistake ??= keyFile is null ? null : Signed(file, bundle, keyFile, headFile, head);
        if (mistake is not null)
        {
            return null;
        }

        if (BundleTrial.Play(bundle, now, out fault) is not { } trial)
        {
            mistake = Refused(file, fault!);
            return null;
        }

        return new(bundle, trial, keyFile is null ? null : bundle.Signature!.Fingerprint, head);
    }

    /// <summary>The import of this bundle.</summary>
    public RunImport Import(DateTimeOffset at, string person, string reason, string softwareVersion) => RunImport.Of(Bundle, at, person, reason, softwareVersion, Trial.Repeats, Signer);

    /// <summary>Says what it is and what is known of it.</summary>
    public void Tell(TextWriter output)
    {
        var (summary, manifest) = (Trial.Run.Summary, Bundle.Manifest);
        output.WriteLine($"Run {summary.Id}: tester {summary.TesterId}, {summary.MethodId}, specimen '{summary.Specimen}'.");
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{Trial.Rows} readings, {Trial.Run.Events.Count} facts, {Trial.Run.Audit.Corrections.Count} corrections, {Trial.Run.Audit.Approvals.Count} approvals; verdict: {summary.Result?.Verdict.ToString().ToLowerInvariant() ?? "none, interrupted"}."));
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"From archive {manifest.Archive}, run number {manifest.RunNumber}, links {Bundle.Links[0].Number} to {Bundle.Links[^1].Number}; bundle made by version {manifest.SoftwareVersion} on {manifest.MadeAtUtc:yyyy-MM-dd HH:mm:ss} UTC, SHA-256 {Convert.ToHexStringLower(Bundle.Sha256)}."));
        output.WriteLine(Signer is not null ? $"Signed by the key {Signer}."
            : Bundle.Signature is { } signature ? $"It says that it is signed by the key {signature.Fingerprint}; that was not looked at (--public-key)."
            : "It is not signed: whoever had it could have made it anew.");
        output.WriteLine(Head is not null ? string.Create(CultureInfo.InvariantCulture, $"It belongs under the head that was given, link {Head.Link}.")
            : "Whether it belongs into the chain of the archive that it names was not looked at (--head).");
        output.WriteLine(Trial.Repeats switch
        {
            null => "It was interrupted: there is no result to come to.",
            true => "Judged anew: the same results.",
            false => "Judged anew: ANOTHER result than the record's.",
        });
    }

    private static InputError Refused(string file, string fault) => new(file, $"{fault}. Nothing was imported");

    private static byte[]? TryBytes(string file, out InputError? mistake)
    {
        try
        {
            mistake = new FileInfo(file) is { Exists: true, Length: > BundleFiles.MostBytes } large ? new(file, $"has {large.Length} bytes; a bundle has at most {BundleFiles.MostBytes}") : null;
            return mistake is null ? File.ReadAllBytes(file) : null;
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            mistake = new(file, $"cannot be read: {exception.Message}");
            return null;
        }
    }

    private static InputError? Under(string file, RunBundle bundle, ArchiveHead head)
    {
        // Without a witness the bundle still knows its own links and the head of its day.
        var known = bundle.Witness?.Holds(head) ?? (head.Link == bundle.Manifest.HeadLink ? head.Digest.Span.SequenceEqual(bundle.Manifest.Head.Digest.Span) : null);
        return head.Archive != bundle.Manifest.Archive ? new(file, $"is of archive {bundle.Manifest.Archive}, and the head is of {head.Archive}")
            : bundle.Witness is null ? new(file, "has no witness: it cannot be compared with a head. Have it made with --witness")
            : known is null ? new(file, string.Create(CultureInfo.InvariantCulture, $"has the links {bundle.Witness.First} to {bundle.Manifest.HeadLink}, and the head is link {head.Link}: they cannot be compared"))
            : known == false ? new(file, string.Create(CultureInfo.InvariantCulture, $"does not belong under the head: its link {head.Link} is another"))
            : head.Link < bundle.Links[^1].Number ? new(file, string.Create(CultureInfo.InvariantCulture, $"has records up to link {bundle.Links[^1].Number}, and the head is link {head.Link}: it says nothing of the newer ones. Give a newer head"))
            : null;
    }

    private static InputError? Signed(string file, RunBundle bundle, string keyFile, string? headFile, ArchiveHead? head)
    {
        if (!KeyFile.TryRead(keyFile, toSign: false, out var key, out var mistake))
        {
            return mistake;
        }

        using (key)
        {
            return bundle.Signature is null ? new(file, "is not signed")
                : !bundle.Signature.IsOf(key, bundle.SignedText) ? new(file, $"is not signed by the key {keyFile}, or was changed after it was signed")
                : head is not null && !head.IsSignedBy(key) ? new(headFile!, $"is not signed by the key {keyFile}, or was changed after it was signed")
                : null;
        }
    }
}
