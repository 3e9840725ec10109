using System.CommandLine;
using System.Globalization;
using Acquire.Core;
using Acquire.Service.Archive;
using Acquire.Service.Archive.Corrections;

namespace Acquire.Service.CommandLine.Archiving;

/// <summary>`acquire archive audit`: everything that persons added to runs after they had ended, in the order of the chain.</summary>
internal static class AuditCommand
{
    public static Command Build()
    {
        var (data, config) = (ArchivePlace.Data(), ArchivePlace.Config());
        var run = new Option<string?>("--run") { Description = "Only of this run." };
        var command = new Command("audit", "List who corrected, approved, held and pruned what, when and why, oldest first. The service may run meanwhile.") { data, config, run };
        command.SetAction(parsed =>
        {
            var error = parsed.InvocationConfiguration.Error;
            return ArchivePlace.TryFind(parsed.GetValue(data), parsed.GetValue(config), error, out var path)
                ? Run(path, parsed.GetValue(run), parsed.InvocationConfiguration.Output, error)
                : ExitCode.BadInput;
        });
        return command;
    }

    private static int Run(string path, string? run, TextWriter output, TextWriter error)
    {
        try
        {
            var entries = 0;
            foreach (var entry in AuditTrail.Read(path, run))
            {
                entries++;
                output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{entry.AtUtc}  link {entry.Link}  {entry.RunId}  {entry.Person}: {entry.Act}{(entry.Reason is { } reason ? $" ({reason})" : "")}"));
            }

            output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{entries} entries. Whether they are as they were written tells acquire archive verify."));
            return ExitCode.Done;
        }
        catch (ArchiveRefusedException refusal)
        {
            error.WriteLine(new InputError("--data", refusal.Message));
            return ExitCode.BadInput;
        }
    }
}
