using Acquire.Service.Archive.Corrections;
using Acquire.Service.Archive.Keeping;
using Acquire.Service.Archive.Influx;
using Acquire.Service.Lanes;
using Acquire.Service.Hosting.Reloading;
using Acquire.Service.Lanes.Archiving;
using Acquire.Service.Lanes.Resuming;
using Acquire.Service.Live;
using Acquire.Service.Live.Api;
using Acquire.Service.Sources.Capture;
using Acquire.Service.Surroundings;
using Microsoft.AspNetCore.SignalR;
using Microsoft.Extensions.FileProviders;

namespace Acquire.Service.Hosting;

/// <summary>Puts the service together, in the order in which readings flow. Nothing is read from files or the environment but what is given.</summary>
public static class AcquireApp
{
    /// <summary>The service, ready to run.</summary>
    /// <exception cref="ArgumentException">Two testers share an id, or an automatic start asks for something that no run may have.</exception>
    public static WebApplication Build(AcquireAppOptions options)
    {
        ArgumentNullException.ThrowIfNull(options);
        var builder = WebApplication.CreateEmptyBuilder(new() { ApplicationName = "acquire", ContentRootPath = AppContext.BaseDirectory });
        AddLogging(builder.Logging, options.LogLevel);
        AddLanes(builder.Services, options);
        options.AddSources?.Invoke(builder.Services);
        AddWeb(builder, options.ListenUrl);
        var app = builder.Build();
        _ = app.Services.GetRequiredService<LaneSet>();
        UseWeb(app, options);
        return app;
    }

    private static void AddLogging(ILoggingBuilder logging, LogLevel least)
    {
        logging.SetMinimumLevel(least);
        logging.AddFilter("Microsoft", LogLevel.Warning);
        logging.AddSimpleConsole(console =>
        {
            console.SingleLine = true;
            console.UseUtcTimestamp = true;
            console.TimestampFormat = "yyyy-MM-dd'T'HH:mm:ss.fff'Z' ";
        });
    }

    private static void AddLanes(IServiceCollection services, AcquireAppOptions options)
    {
        services.AddSingleton(options.Time);
        services.AddSingleton(options.Archive);
        services.AddSingleton(options.Methods);
        services.AddSingleton<RunTimelines>();
        services.AddSingleton(new CaptureFolder(options.CaptureFolder));
        services.AddSingleton(new AmbientStations([.. options.Ambient.Select(source => new AmbientStation(source, options.Time))]));
        services.AddSingleton(provider => new LaneMaker(
            ArchivePort.To(options.Archive), provider.GetRequiredService<RunTimelines>(), options.Time, options.SoftwareVersion, options.Methods,
            provider.GetRequiredService<AmbientStations>(), provider.GetRequiredService<CaptureFolder>(), provider.GetRequiredService<ILogger<Lane>>()));
        services.AddSingleton(provider => new LaneSet([.. options.Testers.Select(provider.GetRequiredService<LaneMaker>().Make)]));
        services.AddSingleton<ConfigurationState>();
        services.AddSingleton<LaneHost>();
        services.AddSingleton<AmbientHost>();
        services.AddHostedService(provider => new RunResumption(
            options.Archive, provider.GetRequiredService<LaneSet>(), options.Resume, options.Methods, options.Time, options.SoftwareVersion, provider.GetRequiredService<ILogger<RunResumption>>()));
        services.AddSingleton(provider => new OutboxHost(options.Influx, new(options.Archive.FilePath), options.Time, provider.GetRequiredService<ILogger<OutboxHost>>()));
        services.AddHostedService(provider => provider.GetRequiredService<OutboxHost>());
        services.AddHostedService(provider => provider.GetRequiredService<LaneHost>());
        services.AddHostedService(provider => provider.GetRequiredService<AmbientHost>());
        services.AddSingleton(new RunCorrector(options.Archive, options.Roles, options.Time, options.SoftwareVersion));
        services.AddSingleton(new RunKeeper(options.Archive, options.Roles, options.Time));
        services.Configure<HostOptions>(host => host.ShutdownTimeout = TimeSpan.FromSeconds(30));
    }

    private static void AddWeb(WebApplicationBuilder builder, string listenUrl)
    {
        builder.WebHost.UseKestrelCore().UseUrls(listenUrl).ConfigureKestrel(kestrel =>
        {
            kestrel.AddServerHeader = false;
            kestrel.Limits.MaxConcurrentConnections = 256;
            kestrel.Limits.MaxConcurrentUpgradedConnections = 128;
            kestrel.Limits.MaxRequestBodySize = 64 * 1024;
        });
        builder.Services.AddRouting();
        builder.Services
            .AddSignalR(hub =>
            {
                hub.MaximumReceiveMessageSize = 4 * 1024;
                hub.MaximumParallelInvocationsPerClient = 2;
                hub.StreamBufferCapacity = 4;
                hub.EnableDetailedErrors = false;
            })
            .AddJsonProtocol(json => LiveJson.Apply(json.PayloadSerializerOptions));
    }

    private static void UseWeb(WebApplication app, AcquireAppOptions options)
    {
        IReadOnlySet<string> names = new HashSet<string>(["localhost", Environment.MachineName, .. options.HostNames], StringComparer.OrdinalIgnoreCase);
        app.UseMiddleware<BrowserRules>(names);
        UsePage(app, options.PageFolder);
        app.UseRouting();
        app.UseMiddleware<DamageAnswer>();
        app.MapHub<LiveHub>("/live", connection =>
        {
            connection.TransportSendTimeout = TimeSpan.FromSeconds(5);
            connection.ApplicationMaxBufferSize = 16 * 1024;
            connection.TransportMaxBufferSize = 64 * 1024;
        });
        TesterApi.Map(app);
        AdviceApi.Map(app);
        RunApi.Map(app);
        HeaterApi.Map(app);
        app.MapGet("/api/configuration", (ConfigurationState state) => ApiAnswers.Ok(state.Overview));
        app.MapGet("/api/influx", (OutboxHost outbox) => ApiAnswers.Ok(new InfluxStatus(outbox.Overview)));
        CorrectionApi.Map(app);
        ExportApi.Map(app, options.Time);
    }

    private static void UsePage(WebApplication app, string folder)
    {
        if (!File.Exists(Path.Combine(folder, "index.html")))
        {
            app.MapGet("/", () => Results.Text("The page was not built into this program. The interface is at /api/testers, its description in docs/api.md.\n"));
            return;
        }

        var files = new PhysicalFileProvider(folder);
        app.Lifetime.ApplicationStopped.Register(files.Dispose);
        app.UseDefaultFiles(new DefaultFilesOptions { FileProvider = files });
        app.UseStaticFiles(new StaticFileOptions { FileProvider = files });
    }
}
