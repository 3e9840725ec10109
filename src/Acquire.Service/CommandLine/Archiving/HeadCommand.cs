using System.CommandLine;
using Acquire.Core;
using Acquire.Service.Archive;
using Acquire.Service.Archive.Chain;

namespace Acquire.Service.CommandLine.Archiving;

/// <summary>`acquire archive head`: hands out the end of the chain for a witness.</summary>
internal static class HeadCommand
{
    public static Command Build()
    {
        var (data, config) = (ArchivePlace.Data(), ArchivePlace.Config());
        var file = new Option<string?>("--out") { Description = "File to write, in the place of an earlier head where one is there; without it the head is printed." }.Named();
        var sign = new Option<string?>("--sign") { Description = "Private key (PEM) to sign it with; it must not lie in the archive's folder." }.Named();
        var command = new Command("head", "Hand out the end of the archive's chain. Kept where nobody can change it, it proves later that nothing up to there was changed or taken away.") { data, config, file, sign };
        command.SetAction(parsed =>
        {
            var error = parsed.InvocationConfiguration.Error;
            return ArchivePlace.TryFind(parsed.GetValue(data), parsed.GetValue(config), error, out var path)
                ? Run(path, parsed.GetValue(file), parsed.GetValue(sign), parsed.InvocationConfiguration.Output, error)
                : ExitCode.BadInput;
        });
        return command;
    }

    private static int Run(string path, string? file, string? sign, TextWriter output, TextWriter error)
    {
        try
        {
            if (!HeadSigning.TrySign(ArchiveHead.ReadFrom(path), sign, path, out var head, out var mistake))
            {
                error.WriteLine(mistake);
                return ExitCode.BadInput;
            }

            if (file is not null && Path.Exists(file) && HeadFile.TryRead(file, out _) is null)
            {
                error.WriteLine(new InputError("--out", $"{file} is there already and is no head; only an earlier head is overwritten"));
                return ExitCode.BadInput;
            }

            if (file is null)
            {
                output.Write(HeadFile.Write(head));
            }
            else
            {
                HeadFile.Save(head, file);
            }

            return ExitCode.Done;
        }
        catch (ArchiveRefusedException refusal)
        {
            error.WriteLine(new InputError("--data", refusal.Message));
            return ExitCode.BadInput;
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            error.WriteLine(new InputError("--out", $"{file} cannot be written: {exception.Message}"));
            return ExitCode.BadInput;
        }
    }
}
