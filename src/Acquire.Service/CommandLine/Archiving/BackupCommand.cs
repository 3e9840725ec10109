using System.CommandLine;
using System.Globalization;
using Acquire.Core;
using Acquire.Service.Archive;
using Acquire.Service.Archive.Chain;
using Acquire.Service.Archive.Copies;

namespace Acquire.Service.CommandLine.Archiving;

/// <summary>`acquire archive backup`: copies the archive while runs go on.</summary>
internal static class BackupCommand
{
    public static Command Build()
    {
        var (data, config) = (ArchivePlace.Data(), ArchivePlace.Config());
        var to = new Option<string>("--to") { Description = "File to make, or a folder, in which it is named after the time. What is there is never overwritten.", Required = true }.Named();
        var sign = new Option<string?>("--sign") { Description = "Private key (PEM) to sign the head of the copy with; it must not lie in the archive's folder." }.Named();
        var command = new Command("backup", "Copy the whole archive as of one moment, and verify the copy. The service may run meanwhile. The head of the copy is put beside it as NAME.head.json.") { data, config, to, sign };
        command.SetAction(parsed =>
        {
            var error = parsed.InvocationConfiguration.Error;
            return ArchivePlace.TryFind(parsed.GetValue(data), parsed.GetValue(config), error, out var path)
                ? Run(path, parsed.GetValue(to)!, parsed.GetValue(sign), parsed.InvocationConfiguration.Output, error)
                : ExitCode.BadInput;
        });
        return command;
    }

    private static int Run(string path, string to, string? sign, TextWriter output, TextWriter error)
    {
        var copy = Directory.Exists(to) || Path.EndsInDirectorySeparator(to) ? Path.Combine(to, string.Create(CultureInfo.InvariantCulture, $"runs-{TimeProvider.System.GetUtcNow().UtcDateTime:yyyyMMdd'T'HHmmss'Z'}.db")) : to;
        try
        {
            // The head of an earlier copy that was moved away is a witness, and may be the only one.
            if (!Path.Exists(copy) && Path.Exists(copy + ".head.json"))
            {
                error.WriteLine(new InputError("--to", $"there is {copy}.head.json already, the head of another copy; it is never overwritten. Choose another name"));
                return ExitCode.Failed;
            }

            // A key that cannot be used is found before anything is copied.
            if (!HeadSigning.TrySign(ArchiveHead.ReadFrom(path), sign, path, out _, out var mistake))
            {
                error.WriteLine(mistake);
                return ExitCode.BadInput;
            }

            var found = ArchiveBackup.Make(path, copy);
            if (!HeadSigning.TrySign(found.Head!, sign, path, out var head, out mistake))
            {
                error.WriteLine(mistake);
                return ExitCode.BadInput;
            }

            HeadFile.Save(head, copy + ".head.json");
            var records = found.Records.Values.Sum();
            output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{copy}: {new FileInfo(copy).Length} bytes, {records} records, sound, up to link {head.Link}."));
            output.WriteLine($"Its head: {copy}.head.json{(sign is null ? "" : ", signed")}. Keep it where the copy is not.");
            return ExitCode.Done;
        }
        catch (ArchiveRefusedException refusal)
        {
            error.WriteLine(new InputError("--to", refusal.Message));
            return ExitCode.Failed;
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            error.WriteLine(new InputError("--to", $"{copy}.head.json cannot be written: {exception.Message}"));
            return ExitCode.Failed;
        }
    }
}
