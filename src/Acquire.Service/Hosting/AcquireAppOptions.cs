using Acquire.Core.Methods;
using Acquire.Service.Archive;
using Acquire.Service.Archive.Corrections;
using Acquire.Service.Configuration;
using Acquire.Service.Lanes.Resuming;

namespace Acquire.Service.Hosting;

/// <summary>What the service is made of.</summary>
public sealed record AcquireAppOptions
{
    /// <summary>The testers; their figures have been checked.</summary>
    public required IReadOnlyList<TesterConfig> Testers { get; init; }

    /// <summary>The sources that testers share.</summary>
    public IReadOnlyList<AmbientConfig> Ambient { get; init; } = [];

    /// <summary>Folder in which what the wires of testers say is kept, where they ask for it; null: nothing is kept.</summary>
    public string? CaptureFolder { get; init; }

    /// <summary>The archive, open. The caller closes it after the service has ended.</summary>
    public required RunArchive Archive { get; init; }

    /// <summary>Address to listen at, such as `http://127.0.0.1:5080`; port 0 takes a free one.</summary>
    public required string ListenUrl { get; init; }

    /// <summary>Names, besides IP addresses, `localhost` and the machine's own name, under which the service may be reached.</summary>
    public IReadOnlyList<string> HostNames { get; init; } = [];

    /// <summary>The methods that runs may follow.</summary>
    public MethodSet Methods { get; init; } = MethodSet.Embedded;

    /// <summary>Who may correct and approve closed runs.</summary>
    public RunRoles Roles { get; init; } = RunRoles.None;

    /// <summary>When a run that the archive has kept open goes on.</summary>
    public ResumeRules Resume { get; init; } = ResumeRules.Usual;

    /// <summary>Where the archive is handed on to; null: nowhere.</summary>
    public InfluxConfig? Influx { get; init; }

    /// <summary>Clock.</summary>
    public TimeProvider Time { get; init; } = TimeProvider.System;

    /// <summary>Version that is written into each run.</summary>
    public string SoftwareVersion { get; init; } = ThisVersion;

    /// <summary>Version of this program.</summary>
    public static string ThisVersion { get; } = typeof(AcquireAppOptions).Assembly.GetName().Version?.ToString(3) ?? "0";

    /// <summary>Folder of the page.</summary>
    public string PageFolder { get; init; } = Path.Combine(AppContext.BaseDirectory, "wwwroot");

    /// <summary>Adds hosted services that start after the lanes and stop before them: the sources. They find their inboxes in <see cref="Lanes.LaneSet"/>.</summary>
    public Action<IServiceCollection>? AddSources { get; init; }

    /// <summary>Least level that is logged.</summary>
    public LogLevel LogLevel { get; init; } = LogLevel.Information;
}
