using System.CommandLine;
using Acquire.Service.Configuration;

namespace Acquire.Service.CommandLine;

/// <summary>`acquire serve`: the service, as its configuration says.</summary>
internal static class ServeCommand
{
    public static Command Build()
    {
        var config = new Option<string>("--config") { Description = "Configuration file, see docs/configuration.md.", DefaultValueFactory = _ => "acquire.json" };
        var listen = new Option<string?>("--listen") { Description = "Address of the page instead of the one in the file, such as http://127.0.0.1:5080." };
        var data = new Option<string?>("--data") { Description = "Folder of the archive instead of the one in the file." };
        var command = new Command("serve", "Run the service.") { config, listen, data };
        command.SetAction((parsed, cancellationToken) => RunAsync(
            parsed.GetValue(config)!, parsed.GetValue(listen), parsed.GetValue(data),
            parsed.InvocationConfiguration.Output, parsed.InvocationConfiguration.Error, cancellationToken));
        return command;
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

        if (!ListenArgument.TryApply(config, listen, out config, out var refusal))
        {
            error.WriteLine(refusal);
            return ExitCode.BadInput;
        }

        config = data is null ? config : config with { DataDirectory = Path.GetFullPath(data) };
        return await ServiceRun.RunAsync(config, null, output, error, cancellationToken).ConfigureAwait(false);
    }
}
