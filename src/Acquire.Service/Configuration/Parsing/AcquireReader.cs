using Acquire.Core.Results;

namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads the outermost object of the file.</summary>
internal static class AcquireReader
{
    private const int MostTesters = 256;

    public static AcquireConfig Read(ConfigObject root)
    {
        var config = new AcquireConfig
        {
            Listen = ReadListen(root),
            DataDirectory = root.Text("dataDirectory", "data", 4096) ?? "data",
            MethodsDirectory = root.Text("methodsDirectory", "", 4096) is { Length: > 0 } folder ? folder : null,
            Mqtt = MqttReader.Read(root),
            Roles = RolesSection.Read(root),
            Testers = ReadTesters(root, root.Number("altitudeMetres", StandardAtmosphere.LowestMetres, StandardAtmosphere.HighestMetres, "m above sea level", optional: true)),
        };
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

    private static List<TesterConfig> ReadTesters(ConfigObject root, double? altitudeMetres)
    {
        var testers = new List<TesterConfig>();
        var ids = new Dictionary<string, ConfigObject>(StringComparer.Ordinal);
        var ports = new HashSet<string>(StringComparer.Ordinal);
        foreach (var section in root.Sections("testers", 0, MostTesters))
        {
            var tester = TesterReader.Read(section, root.Gives("methodsDirectory"));
            if (tester.Id.Length > 0 && !ids.TryAdd(tester.Id, section))
            {
                section.Refuse("id", $"given \"{tester.Id}\"; another tester has it. Allowed: an id of its own");
            }

            if (tester.Source is SourceConfig.Serial serial && serial.Port.Length > 0 && !ports.Add(serial.Port))
            {
                section.Refuse("source.port", $"given \"{JsonText.Shown(serial.Port)}\"; another tester reads this port. Allowed: a port of its own");
            }

            testers.Add(tester with { AltitudeMetres = altitudeMetres });
        }

        DriveSection.CheckTopics(root, testers);
        ModbusLines.Check(root, testers);
        return testers;
    }
}
