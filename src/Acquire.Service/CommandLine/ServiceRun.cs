using System.Net;
using System.Net.Sockets;
using Acquire.Core;
using Acquire.Service.Archive;
using Acquire.Service.Configuration;
using Acquire.Service.Hosting;
using Acquire.Service.Hosting.Reloading;
using Acquire.Service.Lanes;
using Acquire.Service.Sources;
using Acquire.Service.Surroundings;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Hosting.Server.Features;

namespace Acquire.Service.CommandLine;

/// <summary>Runs the service for `serve` and `demo`: archive first, then lanes, then sources, then the page.</summary>
internal static class ServiceRun
{
    /// <summary>How long draining and closing may take after the service was told to stop. Longer than the host's own limit: the archive is closed after the host.</summary>
    public static readonly TimeSpan LongestStop = TimeSpan.FromSeconds(45);

    /// <summary>Runs until it is told to stop; the exit code is not 0 where a part of the service died.</summary>
    /// <param name="config">What the service is to do.</param>
    /// <param name="more">Hosted services that start after the sources.</param>
    /// <param name="output">Told the page's address once it can be opened.</param>
    /// <param name="error">Told why the service cannot start.</param>
    /// <param name="cancellationToken">Stops the service.</param>
    /// <param name="followed">The file to follow while the service runs; null where there is none.</param>
    public static async Task<int> RunAsync(AcquireConfig config, Action<IServiceCollection>? more, TextWriter output, TextWriter error, CancellationToken cancellationToken, string? followed = null)
    {
        using var loggers = LoggerFactory.Create(logging => logging.AddSimpleConsole(console => console.SingleLine = true).SetMinimumLevel(LogLevel.Information));
        if (Occupied(config.Listen) is { } trouble)
        {
            error.WriteLine(new InputError("listen", $"{config.Listen} cannot be used: {trouble}"));
            return ExitCode.Failed;
        }

        RunArchive archive;
        try
        {
            archive = RunArchive.Open(Path.Combine(config.DataDirectory, "runs.db"), TimeProvider.System, loggers.CreateLogger<RunArchive>(), new ArchiveOptions { KeepsOpenRuns = true });
        }
        catch (Exception exception) when (exception is ArchiveRefusedException or IOException or UnauthorizedAccessException)
        {
            error.WriteLine(new InputError("dataDirectory", $"'{config.DataDirectory}' cannot hold the archive: {exception.Message}"));
            return ExitCode.Failed;
        }

        await using (archive.ConfigureAwait(false))
        {
            return await HostAsync(config, archive, services =>
            {
                Follow(config, followed, services);
                more?.Invoke(services);
            }, output, error, cancellationToken).ConfigureAwait(false);
        }
    }

    // Asked first, because the web server's own answer is a page of stack trace.
    private static string? Occupied(Uri listen)
    {
        if (!IPAddress.TryParse(listen.Host.Trim('[', ']'), out var address))
        {
            return null;
        }

        try
        {
            using var probe = new TcpListener(address, listen.Port);
            probe.Start();
            return null;
        }
        catch (SocketException exception)
        {
            return exception.SocketErrorCode == SocketError.AddressAlreadyInUse ? "another program listens there already; choose another port" : exception.Message;
        }
    }

    private static void Greet(AcquireConfig config, IServiceProvider services, TextWriter output)
    {
        var address = services.GetRequiredService<IServer>().Features.Get<IServerAddressesFeature>()?.Addresses.FirstOrDefault();
        output.WriteLine($"Acquire is watching {config.Testers.Count} tester(s). Open {address ?? config.Listen.ToString()}");
        output.WriteLine("It watches and records; it is not a safety device. Never leave a heated cup alone.");
        if (config.Testers.Count(tester => tester.Drive is not null) is > 0 and var driven)
        {
            output.WriteLine($"{driven} of them it also drives: never heat there without an independent over-temperature cut-out and a person at the bench.");
        }

        output.Flush();
    }

    // The host stops in good order where one of its services died, and would tell the shell that all is well.
    private static int CodeOf(IServiceProvider services) =>
        services.GetServices<IHostedService>().OfType<BackgroundService>().Any(service => service.ExecuteTask is { IsFaulted: true }) ? ExitCode.Failed : Environment.ExitCode;

    private static SourceHost Sources(AcquireConfig config, IServiceProvider provider)
    {
        var lanes = provider.GetRequiredService<LaneSet>();
        var inboxes = new Dictionary<string, LaneInbox>(lanes.Inboxes, StringComparer.Ordinal);
        foreach (var station in provider.GetRequiredService<AmbientStations>().All)
        {
            inboxes.Add(station.Config.Id, station.Inbox);
        }

        return new(config, inboxes, TimeProvider.System, provider.GetRequiredService<ILoggerFactory>(), lanes.Outlets,
            lanes.All.Where(lane => lane.Tap is not null).ToDictionary(lane => lane.TesterId, lane => lane.Tap!, StringComparer.Ordinal));
    }

    private static void Follow(AcquireConfig config, string? path, IServiceCollection services)
    {
        if (path is not null)
        {
            services.AddSingleton(provider => new Reloader(config, provider));
            services.AddHostedService(provider => ActivatorUtilities.CreateInstance<ConfigWatch>(provider, Path.GetFullPath(path)));
        }
    }

    private static async Task<int> HostAsync(AcquireConfig config, RunArchive archive, Action<IServiceCollection> more, TextWriter output, TextWriter error, CancellationToken cancellationToken)
    {
        var app = AcquireApp.Build(new AcquireAppOptions
        {
            Testers = config.Testers,
            Ambient = config.Ambient,
            CaptureFolder = Path.GetFullPath(Path.Combine(config.DataDirectory, "wires")),
            Archive = archive,
            Methods = config.Methods,
            Roles = config.Roles,
            Resume = config.Resume,
            Influx = config.Influx,
            HostNames = [config.Listen.Host],
            ListenUrl = config.Listen.GetLeftPart(UriPartial.Authority),
            AddSources = services =>
            {
                services.AddSingleton(provider => Sources(config, provider));
                services.AddHostedService(provider => provider.GetRequiredService<SourceHost>());
                more(services);
            },
        });
        await using (app.ConfigureAwait(false))
        {
            try
            {
                await app.StartAsync(cancellationToken).ConfigureAwait(false);
            }
            catch (IOException exception)
            {
                error.WriteLine(new InputError("listen", $"{config.Listen} cannot be used: {exception.Message}"));
                await app.StopAsync(CancellationToken.None).ConfigureAwait(false);
                return ExitCode.Failed;
            }
            catch (OperationCanceledException)
            {
                // Told to stop while it started: what had started already is to end in order all the same.
                await app.StopAsync(CancellationToken.None).ConfigureAwait(false);
                return CodeOf(app.Services);
            }

            Greet(config, app.Services, output);
            await app.WaitForShutdownAsync(cancellationToken).ConfigureAwait(false);
            return CodeOf(app.Services);
        }
    }
}
