using System.Net;

namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads where MQTT readings come from.</summary>
internal static class MqttReader
{
    private enum Mode
    {
        Embedded,
        External,
    }

    private static readonly Dictionary<string, Mode> Modes = new() { ["embedded"] = Mode.Embedded, ["external"] = Mode.External };
    private static readonly MqttConfig Default = new MqttConfig.Embedded(IPAddress.Loopback, 1883);

    public static MqttConfig Read(ConfigObject root)
    {
        if (root.Section("mqtt", optional: true) is not { } section || !section.TryChoice("mode", Modes, "embedded", out var mode))
        {
            return Default;
        }

        var config = mode == Mode.Embedded ? ReadEmbedded(section) : ReadExternal(section);
        section.RefuseUnknownKeys();
        return config;
    }

    private static MqttConfig.Embedded ReadEmbedded(ConfigObject section)
    {
        const string Allowed = "127.0.0.1 or ::1: the embedded broker asks nobody who they are. For testers on the network use \"mode\": \"external\" with a broker that has accounts";
        var text = section.Text("address", "127.0.0.1", 60, Allowed) ?? "127.0.0.1";
        if (!IPAddress.TryParse(text, out var address) || !IPAddress.IsLoopback(address))
        {
            section.Refuse("address", $"given \"{JsonText.Shown(text)}\"; allowed: {Allowed}");
            address = IPAddress.Loopback;
        }

        return new(address, section.Whole("port", 1, 65_535, 1883));
    }

    private static MqttConfig ReadExternal(ConfigObject section)
    {
        if (section.Text("connection", null, 2000, BrokerUri.Allowed, secret: true) is not { } text)
        {
            return Default;
        }

        if (BrokerUri.TryParse(text, out var address, out var mistake))
        {
            return new MqttConfig.External(address);
        }

        section.Refuse("connection", $"{mistake}; allowed: {BrokerUri.Allowed}");
        return Default;
    }
}
