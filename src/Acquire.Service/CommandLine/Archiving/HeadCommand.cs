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
        var file = new Option<string?>("--out") { Description = "File to write; without it the head is printed." };
        var sign = new Option<string?>("--sign") { Description = "Private key (PEM) to sign it with; it must not lie in the archive's folder." };
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
        if (sign is not null && KeyFile.LiesIn(sign, Path.GetDirectoryName(path)!))
        {
            error.WriteLine(new InputError("--sign", $"{sign} lies in the archive's folder: whoever can change the archive could sign it anew. Keep the key elsewhere"));
            return ExitCode.BadInput;
        }

        try
        {
            var head = ArchiveHead.ReadFrom(path);
            if (sign is not null)
            {
                if (!KeyFile.TryRead(sign, toSign: true, out var key, out var mistake))
                {
                    error.WriteLine(mistake);
                    return ExitCode.BadInput;
                }

                using (key)
                {
                    head = head.Sign(key);
                }
            }

            Give(HeadFile.Write(head), file, output);
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

    private static void Give(string text, string? file, TextWriter output)
    {
        if (file is null)
        {
            output.Write(text);
            return;
        }

        // Never half a head in place of a whole one.
        var begun = file + ".partial";
        File.WriteAllText(begun, text);
        File.Move(begun, file, overwrite: true);
    }
}
