using System.CommandLine;
using Acquire.Core;
using Acquire.Core.Readings;
using Acquire.Service.Configuration;
using Acquire.Service.Lanes.Starting;

namespace Acquire.Service.CommandLine;

/// <summary>`acquire serve`: the service, as its configuration says.</summary>
internal static class ServeCommand
{
    public static Command Build()
    {
        var config = new ConfigFileChoice();
        var listen = new Option<string?>("--listen") { Description = "Address of the page instead of the one in the file, such as http://127.0.0.1:5080." };
        var data = new Option<string?>("--data") { Description = "Folder of the archive instead of the one in the file." };
        var command = new Command("serve", "Run the service.") { listen, data };
        config.AddTo(command);
        command.SetAction((parsed, cancellationToken) => RunAsync(
            config.Path(parsed), parsed.GetValue(listen), parsed.GetValue(data),
            parsed.InvocationConfiguration.Output, parsed.InvocationConfiguration.Error, cancellationToken));
        return command;
    }

    // What a person may not start, the service may not start by itself either.
    internal static List<InputError> AutoStarts(string path, AcquireConfig config)
    {
        var errors = new List<InputError>();
        for (var i = 0; i < config.Testers.Count; i++)
        {
            var tester = config.Testers[i];
            if (tester.AutoStart is not { } request)
            {
                continue;
            }

            var facts = new OrderFacts(tester.Channels.HasFlag(RowChannels.Flame), tester.AltitudeMetres) { Mode = tester.Mode };
            if (!AutoStart.TryMake(request, facts, config.Methods, out _, out var problems))
            {
                errors.AddRange(problems.Select(problem => ConfigFile.In(path, problem with { Path = $"testers[{i}].autoStart.{problem.Path}" })));
            }
        }

        return errors;
    }

    private static async Task<int> RunAsync(string path, string? listen, string? data, TextWriter output, TextWriter error, CancellationToken cancellationToken)
    {
        if (!ConfigFile.TryRead(path, out var config, out var errors))
        {
            foreach (var problem in errors)
            {
                error.WriteLine(problem);
            }

            return ExitCode.BadInput;
        }

        if (AutoStarts(path, config) is { Count: > 0 } refusals)
        {
            foreach (var problem in refusals)
            {
                error.WriteLine(problem);
            }

            return ExitCode.BadInput;
        }

        if (!ListenArgument.TryApply(config, listen, out config, out var refusal))
        {
            error.WriteLine(refusal);
            return ExitCode.BadInput;
        }

        config = data is null ? config : config with { DataDirectory = Path.GetFullPath(data) };
        return await ServiceRun.RunAsync(config, null, output, error, cancellationToken, path).ConfigureAwait(false);
    }
}
