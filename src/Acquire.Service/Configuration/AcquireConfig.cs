using System.Text.Json;
using Acquire.Core.Methods;
using Acquire.Service.Archive.Corrections;
using Acquire.Service.Lanes.Resuming;

namespace Acquire.Service.Configuration;

/// <summary>Everything that `acquire.json` says, checked and with its defaults filled in.</summary>
public sealed record AcquireConfig
{
    /// <summary>Address of the page and the API, `http://host:port`; loopback unless the file allows more.</summary>
    public required Uri Listen { get; init; }

    /// <summary>Folder of the archive; relative to the folder of the file it was read from.</summary>
    public required string DataDirectory { get; init; }

    /// <summary>Folder of the laboratory's own methods; relative to the folder of the file it was read from. Null: only the methods that come with the program.</summary>
    public string? MethodsDirectory { get; init; }

    /// <summary>The methods of the program and of that folder.</summary>
    public MethodSet Methods { get; init; } = MethodSet.Embedded;

    /// <summary>Who may correct, approve, hold and prune closed runs; nobody where the file does not say.</summary>
    public RunRoles Roles { get; init; } = RunRoles.None;

    /// <summary>How long runs are kept at least after their end, days; null: for ever.</summary>
    public int? KeepDays { get; init; }

    /// <summary>When a run that was open as the service ended goes on.</summary>
    public ResumeRules Resume { get; init; } = ResumeRules.Usual;

    /// <summary>The InfluxDB endpoint that the archive is handed on to; null where there is none.</summary>
    public InfluxConfig? Influx { get; init; }

    /// <summary>Where MQTT readings come from.</summary>
    public required MqttConfig Mqtt { get; init; }

    /// <summary>The sources that testers share, in the order of the file; their ids are unique, among the testers too.</summary>
    public IReadOnlyList<AmbientConfig> Ambient { get; init; } = [];

    /// <summary>The testers, in the order of the file; their ids are unique.</summary>
    public required IReadOnlyList<TesterConfig> Testers { get; init; }

    /// <summary>The file as it is written; nothing where it was not read from a file. Never printed: it may hold passwords.</summary>
    internal JsonElement Written { get; init; }
}
