using System.Text.RegularExpressions;
using Acquire.Core.Runs;
using Xunit;

namespace Acquire.EndToEnd.Tests.Rig;

/// <summary>The running service in a process of its own, and its interface.</summary>
internal sealed partial class RunningService : IAsyncDisposable
{
    private readonly ChildProcess _process;

    private RunningService(ChildProcess process, Uri address)
    {
        _process = process;
        Address = address;
        Api = new(address);
    }

    /// <summary>Address of the page.</summary>
    public Uri Address { get; }

    /// <summary>Its JSON interface.</summary>
    public ServiceApi Api { get; }

    /// <summary>Starts `acquire serve` with a configuration and waits until it answers; its archive is in the folder.</summary>
    public static Task<RunningService> ServeAsync(TestFolder folder, string config) =>
        StartAsync("serve", "--config", folder.Write("acquire.json", config));

    /// <summary>Starts `acquire demo` and waits until it answers.</summary>
    public static Task<RunningService> DemoAsync(TestFolder folder, string speed) =>
        StartAsync("demo", "--speed", speed, "--listen", "http://127.0.0.1:0", "--data", folder["data"]);

    /// <summary>What the service says about a run that a kill cannot take any more.</summary>
    public async Task<Acknowledged> AcknowledgedAsync(string runId)
    {
        var run = await Api.RunAsync(runId);
        return new(runId, run.Summary.ArchivedRows, run.Events);
    }

    /// <summary>Ends it at once and without warning.</summary>
    public Task KillAsync() => _process.KillAsync();

    /// <summary>Asks it to end; its exit code.</summary>
    public Task<int> TerminateAsync() => _process.TerminateAsync();

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        Api.Dispose();
        await _process.DisposeAsync();
    }

    /// <summary>Starts `acquire serve` whose files may grow to a size and no more, as if the disk were full from there on. Unix only.</summary>
    /// <param name="config">The configuration file.</param>
    /// <param name="kibibytes">The size; the index of the archive's log needs 32.</param>
    public static Task<RunningService> OnFullDiskAsync(string config, int kibibytes) =>
        // POSIX counts the limit in blocks of 512 bytes; without the trap a write beyond it would be the end of the process. The runtime itself wants a file of gigabytes unless told.
        OfAsync(ChildProcess.Start("sh", ["-c", $"trap '' XFSZ; ulimit -f {2 * kibibytes}; export DOTNET_EnableWriteXorExecute=0; exec dotnet exec \"$0\" serve --config \"$1\"", AcquireProgram.Path, config]));

    private static Task<RunningService> StartAsync(params string[] arguments) => OfAsync(AcquireProgram.Start(arguments));

    private static async Task<RunningService> OfAsync(ChildProcess process)
    {
        try
        {
            await Waiting.UntilAsync(() => process.HasEnded || Said().IsMatch(process.Output), "the page's address");
            var said = Said().Match(process.Output);
            Assert.True(said.Success, $"The service ended before it had said its address.\n{process.Output}\n{process.Error}");
            return new(process, new Uri(said.Groups[1].Value));
        }
        catch
        {
            await process.DisposeAsync();
            throw;
        }
    }

    /// <summary>What was stated as archived at one moment.</summary>
    internal sealed record Acknowledged(string RunId, long Rows, IReadOnlyList<RunOutput> Events);

    [GeneratedRegex(@"Open (http://\S+)")]
    private static partial Regex Said();
}
