using System.CommandLine;
using System.CommandLine.Invocation;

namespace Acquire.Service.CommandLine;

/// <summary>The program's verbs.</summary>
internal static class Root
{
    /// <summary>Runs a command line; errors in it end with exit code 2.</summary>
    public static async Task<int> RunAsync(string[] args)
    {
        var root = new RootCommand("Acquire: supervises flash and fire point determinations, live or from a record. Not a safety device.")
        {
            ServeCommand.Build(),
            DemoCommand.Build(),
            ConfigCommand.Build(),
            ReplayCommand.Build(),
            SimulateCommand.Build(),
            SituationsCommand.Build(),
            ConvertCommand.Build(),
            LagCommand.Build(),
            DevicesCommand.Build(),
            MethodsCommand.Build(),
            ArchiveCommand.Build(),
            InfluxCommand.Build(),
        };
        var parsed = root.Parse(args);
        if (parsed.Action is ParseErrorAction wrong)
        {
            // The mistake is said on the error stream; a page of help on the other would end up in somebody's JSON.
            wrong.ShowHelp = false;
        }

        // The library's own limit of two seconds would end the program in the middle of a slow disk's last write.
        var code = await parsed.InvokeAsync(new() { ProcessTerminationTimeout = ServiceRun.LongestStop }).ConfigureAwait(false);
        return parsed.Errors.Count > 0 ? ExitCode.BadInput : code;
    }
}
