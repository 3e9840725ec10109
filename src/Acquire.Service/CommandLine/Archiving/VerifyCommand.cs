using System.CommandLine;
using System.Globalization;
using Acquire.Core;
using Acquire.Service.Archive;
using Acquire.Service.Archive.Chain;

namespace Acquire.Service.CommandLine.Archiving;

/// <summary>`acquire archive verify`: tells every record that is not as it was written.</summary>
internal static class VerifyCommand
{
    public static Command Build()
    {
        var (data, config) = (ArchivePlace.Data(), ArchivePlace.Config());
        var head = new Option<string?>("--head") { Description = "A head that was handed out earlier (acquire archive head) and kept elsewhere." }.Named();
        var key = new Option<string?>("--public-key") { Description = "Public key (PEM) by which that head must be signed." }.Named();
        var command = new Command("verify", "Tell every record that was altered, taken away, inserted or put in another's place. Changes nothing; the service may run meanwhile. Exit code 0: sound, 1: not sound, 2: cannot be verified.") { data, config, head, key };
        command.SetAction(parsed =>
        {
            var (output, error) = (parsed.InvocationConfiguration.Output, parsed.InvocationConfiguration.Error);
            return ArchivePlace.TryFind(parsed.GetValue(data), parsed.GetValue(config), error, out var path)
                ? Run(path, parsed.GetValue(head), parsed.GetValue(key), output, error)
                : ExitCode.BadInput;
        });
        return command;
    }

    private static int Run(string path, string? headFile, string? keyFile, TextWriter output, TextWriter error)
    {
        InputError? mistake = null;
        var head = headFile is null ? null : HeadFile.TryRead(headFile, out mistake);
        if (keyFile is not null && headFile is null)
        {
            mistake = new("--public-key", "needs --head: it is the head that is signed");
        }

        string? unsigned = null;
        if (mistake is not null || (keyFile is not null && !TrySigned(head!, headFile!, keyFile, out unsigned, out mistake)))
        {
            error.WriteLine(mistake);
            return ExitCode.BadInput;
        }

        try
        {
            var found = ArchiveVerifier.Verify(path, head);
            Write(found, path, unsigned, head is not null && keyFile is null, output);
            return found.Sound && unsigned is null ? ExitCode.Done : ExitCode.Failed;
        }
        catch (ArchiveRefusedException refusal)
        {
            error.WriteLine(new InputError("--data", refusal.Message));
            return ExitCode.BadInput;
        }
    }

    // False only where the key cannot be read; a signature that is not there or wrong is a finding.
    private static bool TrySigned(ArchiveHead head, string headFile, string keyFile, out string? unsigned, out InputError? mistake)
    {
        unsigned = null;
        if (!KeyFile.TryRead(keyFile, toSign: false, out var key, out mistake))
        {
            return false;
        }

        using (key)
        {
            unsigned = head.Signature is null ? $"the head {headFile}: it is not signed"
                : head.IsSignedBy(key) ? null
                : $"the head {headFile}: its signature is not of the key {keyFile}, or the head was changed after it was signed";
            return true;
        }
    }

    private static void Write(ArchiveVerification found, string path, string? unsigned, bool signatureLeft, TextWriter output)
    {
        if (unsigned is not null)
        {
            output.WriteLine(unsigned);
        }

        foreach (var fault in found.Faults)
        {
            output.WriteLine(fault);
        }

        if (found.FaultsLeftOut > 0)
        {
            output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"and {found.FaultsLeftOut} more"));
        }

        var counts = string.Join(", ", found.Records.Select(kind => string.Create(CultureInfo.InvariantCulture, $"{kind.Key} {kind.Value}")));
        output.WriteLine(found.Sound && unsigned is null ? $"{path}: sound." : $"{path}: NOT SOUND. Keep this file as it is, and restore the records from a copy.");
        output.WriteLine($"Records compared: {(counts.Length > 0 ? counts : "none")}.");
        if (found.Head is { } head)
        {
            output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"Archive {head.Archive}, link {head.Link}, digest {Convert.ToHexStringLower(head.Digest.Span)}."));
        }

        output.WriteLine("Not proved:");
        if (signatureLeft)
        {
            output.WriteLine("- Who handed out the head: its signature was not looked at (--public-key).");
        }

        foreach (var left in found.NotProved)
        {
            output.WriteLine($"- {left}");
        }
    }
}
