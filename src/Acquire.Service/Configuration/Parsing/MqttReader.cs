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
        const string Allowed = "the address of a network card, 0.0.0.0, ::, 127.0.0.1 or ::1";
        var text = section.Text("address", "127.0.0.1", 60, Allowed) ?? "127.0.0.1";
        if (!IPAddress.TryParse(text, out var address))
        {
            section.Refuse("address", $"given \"{JsonText.Shown(text)}\"; allowed: {Allowed}");
            address = IPAddress.Loopback;
        }

        var port = section.Whole("port", 1, 65_535, 1883);
        var tls = section.Section("tls", optional: true) is { } keys ? TlsSection.ReadServer(keys) : null;
        var accounts = section.Gives("accounts") ? AccountSection.Read(section) : null;
        if (!IPAddress.IsLoopback(address) && (tls is null || accounts is null))
        {
            var missing = tls is null && accounts is null ? "\"tls\" and \"accounts\"" : tls is null ? "\"tls\"" : "\"accounts\"";
            section.Refuse("address", $"given \"{JsonText.Shown(text)}\" without {missing}: anyone on the network could send readings, or read passwords on their way. Allowed: 127.0.0.1 or ::1, or any address together with \"tls\" and \"accounts\"");
        }

        return new(address, port, tls, accounts);
    }

    private static MqttConfig ReadExternal(ConfigObject section)
    {
        var text = section.Text("connection", null, 2000, BrokerUri.Allowed, secret: true);
        var keepAlive = section.Whole("keepAliveSeconds", 1, 300, BrokerAddress.UsualSeconds);
        var answer = section.Whole("answerSeconds", 1, 60, BrokerAddress.UsualSeconds);
        var status = section.Gives("statusTopic") ? TopicTemplate.ReadTopic(section, "statusTopic") : null;
        var certificates = section.Section("tls", optional: true) is { } tls ? TlsSection.ReadClient(tls) : null;
        if (text is null)
        {
            return Default;
        }

        if (!BrokerUri.TryParse(text, out var address, out var mistake))
        {
            section.Refuse("connection", $"{mistake}; allowed: {BrokerUri.Allowed}");
            return Default;
        }

        if (certificates is not null && !address.Tls)
        {
            section.Refuse("tls", "is given, but the connection is mqtt://, without TLS; allowed: mqtts://, or no such key");
        }

        return new MqttConfig.External(address with { Certificates = certificates, KeepAliveSeconds = keepAlive, AnswerSeconds = answer, StatusTopic = status });
    }
}
