using System.Net;

namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads the outermost object of the file.</summary>
internal static class AcquireReader
{
    private const string DefaultListen = "http://127.0.0.1:5080";
    private const int MostTesters = 256;

    public static AcquireConfig Read(ConfigObject root)
    {
        var config = new AcquireConfig
        {
            Listen = ReadListen(root),
            DataDirectory = root.Text("dataDirectory", "data", 4096) ?? "data",
            Mqtt = MqttReader.Read(root),
            Testers = ReadTesters(root),
        };
        root.RefuseUnknownKeys();
        return config;
    }

    private static Uri ReadListen(ConfigObject root)
    {
        const string Allowed = "an address such as " + DefaultListen + ", with a port from 0 to 65535 and no path; 0 takes a free port";
        var remote = root.Flag("allowRemote");
        var text = root.Text("listen", DefaultListen, 200, Allowed) ?? DefaultListen;
        if (!Uri.TryCreate(text, UriKind.Absolute, out var uri) || uri.Scheme != Uri.UriSchemeHttp
            || uri.PathAndQuery != "/" || uri.Fragment.Length > 0 || uri.UserInfo.Length > 0)
        {
            root.Refuse("listen", $"given \"{JsonText.Shown(text)}\"; allowed: {Allowed}");
            return new(DefaultListen);
        }

        if (!remote && !uri.IsLoopback)
        {
            root.Refuse("listen", $"given \"{JsonText.Shown(text)}\"; allowed: a loopback address (127.0.0.1, [::1], localhost). There are no accounts yet: on another address anyone in reach could start and stop runs. Set \"allowRemote\": true only where the network itself keeps others out");
        }

        if (uri.Port == 0 && !IPAddress.TryParse(uri.DnsSafeHost, out _))
        {
            root.Refuse("listen", "port 0 takes a free port and needs a numeric address such as 127.0.0.1");
        }

        return uri;
    }

    private static List<TesterConfig> ReadTesters(ConfigObject root)
    {
        var testers = new List<TesterConfig>();
        var ids = new Dictionary<string, ConfigObject>(StringComparer.Ordinal);
        var ports = new HashSet<string>(StringComparer.Ordinal);
        foreach (var section in root.Sections("testers", 0, MostTesters))
        {
            var tester = TesterReader.Read(section);
            if (tester.Id.Length > 0 && !ids.TryAdd(tester.Id, section))
            {
                section.Refuse("id", $"given \"{tester.Id}\"; another tester has it. Allowed: an id of its own");
            }

            if (tester.Source is SourceConfig.Serial serial && serial.Port.Length > 0 && !ports.Add(serial.Port))
            {
                section.Refuse("source.port", $"given \"{JsonText.Shown(serial.Port)}\"; another tester reads this port. Allowed: a port of its own");
            }

            testers.Add(tester);
        }

        return testers;
    }
}
