using System.CommandLine;
using System.Globalization;
using System.Net;
using System.Net.Sockets;
using Acquire.Service.Lanes;
using Acquire.Simulator;

namespace Acquire.Service.CommandLine;

/// <summary>`acquire demo`: the service with simulated testers, nothing else needed.</summary>
internal static class DemoCommand
{
    public static Command Build()
    {
        var speed = NumberOption.WithDefault("--speed", "How many times faster than real, 1 to 60.", 10);
        var seed = new Option<ulong>("--seed") { Description = "Picks the simulated specimens; equal seeds give equal runs.", DefaultValueFactory = _ => 1 };
        var listen = new Option<string?>("--listen") { Description = "Address of the page; default http://127.0.0.1:5080." };
        var data = new Option<string?>("--data") { Description = "Folder of the archive; default a new temporary folder." };
        var command = new Command("demo", "Run the service with simulated testers and print the page's address.") { speed, seed, listen, data };
        command.SetAction((parsed, cancellationToken) => RunAsync(
            parsed.GetValue(speed), parsed.GetValue(seed), parsed.GetValue(listen), parsed.GetValue(data),
            parsed.InvocationConfiguration.Output, parsed.InvocationConfiguration.Error, cancellationToken));
        return command;
    }

    private static async Task<int> RunAsync(double speed, ulong seed, string? listen, string? data, TextWriter output, TextWriter error, CancellationToken cancellationToken)
    {
        if (SpeakingSpeed.Check("--speed", speed) is { Count: > 0 } problems)
        {
            foreach (var problem in problems)
            {
                error.WriteLine(problem);
            }

            return ExitCode.BadInput;
        }

        using var wire = DemoWire.Open();
        var folder = data is null ? Directory.CreateTempSubdirectory("acquire-demo-").FullName : Path.GetFullPath(data);
        var testers = DemoLaboratory.TestersOn(DateOnly.FromDateTime(TimeProvider.System.GetLocalNow().Date));
        if (!ListenArgument.TryApply(DemoConfig.For(testers, wire, FreePort(), folder), listen, out var config, out var refusal))
        {
            error.WriteLine(refusal);
            return ExitCode.BadInput;
        }

        output.WriteLine($"Demonstration: simulated testers at {speed}x, invented specimens, archive in {folder}. Stop with Ctrl+C.");
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{DemoLaboratory.Driven.DisplayName}, at {DrivenDemoHost.Speed(speed)}x, waits: start a run on its page and turn the heater on."));
        if (wire.Refusal is { } reason)
        {
            output.WriteLine($"All testers speak MQTT, because {reason}.");
        }

        return await ServiceRun.RunAsync(
            config,
            services =>
            {
                services.AddHostedService(provider => new DemoHost(
                    config, testers, wire, provider.GetRequiredService<LaneSet>(), speed, seed, provider.GetRequiredService<ILogger<DemoHost>>()));
                services.AddHostedService(provider => new DrivenDemoHost(
                    config, provider.GetRequiredService<LaneSet>(), speed, seed, provider.GetRequiredService<ILogger<DrivenDemoHost>>()));
            },
            output, error, cancellationToken).ConfigureAwait(false);
    }

    // The demonstration must not collide with a broker that the machine runs already.
    private static int FreePort()
    {
        using var probe = new TcpListener(IPAddress.Loopback, 0);
        probe.Start();
        return ((IPEndPoint)probe.LocalEndpoint).Port;
    }
}
