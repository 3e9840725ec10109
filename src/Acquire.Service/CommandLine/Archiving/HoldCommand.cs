using System.CommandLine;
using Acquire.Service.Archive.Corrections;
using Acquire.Service.Archive.Keeping;

namespace Acquire.Service.CommandLine.Archiving;

/// <summary>`acquire archive hold` and `release`: keeps runs back from pruning.</summary>
internal static class HoldCommand
{
    public static Command BuildHold() => Build("hold", held: true, "Keep a run whatever its age: it is not pruned until it is released. Stop the service first, or use its API.");

    public static Command BuildRelease() => Build("release", held: false, "Say that a run that is on hold need not be kept any longer. Stop the service first, or use its API.");

    private static Command Build(string name, bool held, string description)
    {
        var run = new Argument<string>("run") { Description = "Id of the run." };
        var (config, person, reason) = (ArchivePlace.Config(), PersonOption.Person(), PersonOption.Reason());
        var command = new Command(name, description) { run, config, person, reason };
        command.SetAction(async (parsed, cancellationToken) =>
        {
            var (output, error) = (parsed.InvocationConfiguration.Output, parsed.InvocationConfiguration.Error);
            if (OfflineArchive.ReadConfig(parsed.GetValue(config), error) is not { } read)
            {
                return ExitCode.BadInput;
            }

            return await OfflineArchive.WithAsync(read, error, async (archive, _) =>
            {
                var id = parsed.GetValue(run)!;
                var answer = await new RunKeeper(archive, read.Roles, TimeProvider.System).HoldAsync(id, held, parsed.GetValue(person)!, parsed.GetValue(reason)!, cancellationToken).ConfigureAwait(false);
                foreach (var mistake in answer.Errors)
                {
                    error.WriteLine(mistake);
                }

                if (answer.Outcome == AuditOutcome.Done)
                {
                    output.WriteLine(held ? $"Run {id} is on hold." : $"Run {id} is released.");
                }

                return answer.Outcome == AuditOutcome.Done ? ExitCode.Done : ExitCode.BadInput;
            }).ConfigureAwait(false);
        });
        return command;
    }
}
