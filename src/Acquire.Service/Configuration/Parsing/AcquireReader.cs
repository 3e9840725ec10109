using Acquire.Core.Results;

namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads the outermost object of the file.</summary>
internal static class AcquireReader
{
    private const int MostTesters = 1000;

    public static AcquireConfig Read(ConfigObject root)
    {
        var config = new AcquireConfig
        {
            Written = root.Written,
            Listen = ReadListen(root),
            DataDirectory = root.Text("dataDirectory", "data", 4096) ?? "data",
            MethodsDirectory = root.Text("methodsDirectory", "", 4096) is { Length: > 0 } folder ? folder : null,
            Mqtt = MqttReader.Read(root),
            Ambient = AmbientReader.Read(root),
            Roles = RolesSection.Read(root),
            KeepDays = RolesSection.ReadKeepDays(root),
            Resume = ResumeSection.Read(root),
            Influx = InfluxSection.Read(root),
            Testers = ReadTesters(root, root.Number("altitudeMetres", StandardAtmosphere.LowestMetres, StandardAtmosphere.HighestMetres, "m above sea level", optional: true)),
        };
        CheckIds(root, config);
        CheckPorts(root, config);
        AmbientReader.Check(root, config.Testers, config.Ambient);
        DriveSection.CheckTopics(root, config.Testers);
        ModbusLines.Check(root, config);
        root.RefuseUnknownKeys();
        return config;
    }

    private static Uri ReadListen(ConfigObject root)
    {
        var remote = root.Flag("allowRemote");
        var text = root.Text("listen", ListenAddress.Default, 200, ListenAddress.Allowed) ?? ListenAddress.Default;
        if (!ListenAddress.TryParse(text, out var uri))
        {
            root.Refuse("listen", $"given \"{JsonText.Shown(text)}\"; allowed: {ListenAddress.Allowed}");
            return new(ListenAddress.Default);
        }

        if (!remote && !uri.IsLoopback)
        {
            root.Refuse("listen", $"given \"{JsonText.Shown(text)}\"; allowed: a loopback address (127.0.0.1, [::1], localhost). There are no accounts yet: on another address anyone in reach could start and stop runs. Set \"allowRemote\": true only where the network itself keeps others out");
        }

        return uri;
    }

    private static List<TesterConfig> ReadTesters(ConfigObject root, double? altitudeMetres) =>
        [.. root.Sections("testers", 0, MostTesters).Select(section => TesterReader.Read(section, root.Gives("methodsDirectory")) with { AltitudeMetres = altitudeMetres })];

    private static void CheckIds(ConfigObject root, AcquireConfig config)
    {
        var ids = new HashSet<string>(StringComparer.Ordinal);
        foreach (var (path, id) in config.Ambient.Index().Select(one => (FormattableString.Invariant($"ambient[{one.Index}].id"), one.Item.Id))
            .Concat(config.Testers.Index().Select(one => (FormattableString.Invariant($"testers[{one.Index}].id"), one.Item.Id))))
        {
            if (id.Length > 0 && !ids.Add(id))
            {
                root.Refuse(path, $"given \"{id}\"; another tester or source of the room has it. Allowed: an id of its own");
            }
        }
    }

    private static void CheckPorts(ConfigObject root, AcquireConfig config)
    {
        var ports = new HashSet<string>(StringComparer.Ordinal);
        foreach (var (path, source) in Sources(config))
        {
            if (source is SourceConfig.Serial { Port.Length: > 0 } serial && !ports.Add(serial.Port))
            {
                root.Refuse($"{path}.port", $"given \"{JsonText.Shown(serial.Port)}\"; another tester or source of the room reads this port. Allowed: a port of its own");
            }
        }
    }

    /// <summary>Every source of the file with its path.</summary>
    internal static IEnumerable<(string Path, SourceConfig Source)> Sources(AcquireConfig config) =>
        config.Ambient.Index().Select(one => (FormattableString.Invariant($"ambient[{one.Index}].source"), one.Item.Source))
            .Concat(config.Testers.Index().Select(one => (FormattableString.Invariant($"testers[{one.Index}].source"), one.Item.Source)));
}
