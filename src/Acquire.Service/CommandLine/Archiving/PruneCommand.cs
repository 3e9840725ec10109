using System.CommandLine;
using Acquire.Core;
using Acquire.Service.Archive;
using Acquire.Service.Archive.Copies;
using Acquire.Service.Archive.Keeping;
using Acquire.Service.Sources.Capture;

namespace Acquire.Service.CommandLine.Archiving;

/// <summary>`acquire archive prune`: takes runs away that are older than the laboratory keeps them.</summary>
internal static class PruneCommand
{
    public static Command Build()
    {
        var (config, person, reason) = (ArchivePlace.Config(), PersonOption.Person(), PersonOption.Reason());
        var older = NumberOption.OptionalWhole("--older-than-days", "Only runs that ended more days ago than this; not less than retention.keepDays of the configuration, which is taken where nothing is said.");
        var copy = new Option<string?>("--copy") { Description = "A copy (acquire archive backup) that holds everything that is taken away; it is verified first." }.Named();
        var forGood = new Option<bool>("--for-good") { Description = "Instead of --copy: what is taken away is to be nowhere any longer." };
        var dry = new Option<bool>("--dry-run") { Description = "Say what would be taken away, and change nothing." };
        var command = new Command("prune", "Take away runs that ended longer ago than retention.keepDays and are not on hold. Who did it, when and why stays in the record, and so do the places in the chain. Stop the service first.")
        {
            config, person, reason, older, copy, forGood, dry,
        };
        command.SetAction(async (parsed, cancellationToken) =>
        {
            var error = parsed.InvocationConfiguration.Error;
            if (OfflineArchive.ReadConfig(parsed.GetValue(config), error) is not { } read)
            {
                return ExitCode.BadInput;
            }

            var order = new PruneOrder(parsed.GetValue(person)!, parsed.GetValue(reason)!, parsed.GetValue(older), parsed.GetValue(copy), parsed.GetValue(forGood));
            if (PruneRules.WhyNot(order, read.Roles, read.KeepDays) is { } refused)
            {
                error.WriteLine(refused);
                return ExitCode.BadInput;
            }

            var work = new PruneRun(order, order.OlderThanDays ?? read.KeepDays!.Value, new CaptureFolder(Path.Combine(read.DataDirectory, "wires")), parsed.InvocationConfiguration.Output, error);
            var code = await OfflineArchive.WithAsync(read, error, (archive, path) => work.RunAsync(archive, path, parsed.GetValue(dry), cancellationToken)).ConfigureAwait(false);

            // Also after an order that was broken off: what is pruned is to be in no byte of the file.
            var shrinks = !parsed.GetValue(dry) && (code == ExitCode.Done || work.Gone > 0);
            return shrinks && Shrink(ArchivePlace.Of(read), error) is var shrunk && shrunk != ExitCode.Done ? shrunk : code;
        });
        return command;
    }

    private static int Shrink(string path, TextWriter error)
    {
        try
        {
            ArchiveShrinking.Run(path);
            return ExitCode.Done;
        }
        catch (ArchiveRefusedException refusal)
        {
            error.WriteLine(new InputError("--config", refusal.Message));
            return ExitCode.Failed;
        }
    }
}
