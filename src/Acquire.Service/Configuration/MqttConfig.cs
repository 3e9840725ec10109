using System.Globalization;
using System.Net;

namespace Acquire.Service.Configuration;

/// <summary>Where MQTT readings come from.</summary>
public abstract record MqttConfig
{
    private MqttConfig()
    {
    }

    /// <summary>A broker inside the service, for publishers on the same machine; on the network only with TLS and accounts.</summary>
    /// <param name="Address">Address it listens on; any but loopback only with <paramref name="Tls"/> and <paramref name="Accounts"/>.</param>
    /// <param name="Port">1 to 65535.</param>
    /// <param name="Tls">Its certificate; null without TLS.</param>
    /// <param name="Accounts">Who may connect; null where nobody is asked.</param>
    public sealed record Embedded(IPAddress Address, int Port, CertificateFiles? Tls = null, IReadOnlyList<BrokerAccount>? Accounts = null) : MqttConfig;

    /// <summary>A broker elsewhere, to which the service connects.</summary>
    /// <param name="Connection">How to reach it.</param>
    public sealed record External(BrokerAddress Connection) : MqttConfig;
}

/// <summary>How to reach a broker. Its text never holds the password.</summary>
public sealed record BrokerAddress
{
    /// <summary>Keep-alive and longest answer where nothing else is said, s.</summary>
    public const int UsualSeconds = 5;

    /// <summary>Whether the broker keeps what comes while the connection is away; false for a visit, which leaves nothing behind.</summary>
    public bool KeepsSession { get; init; } = true;

    /// <summary>Host name or address.</summary>
    public required string Host { get; init; }

    /// <summary>1 to 65535.</summary>
    public required int Port { get; init; }

    /// <summary>Whether the connection is TLS.</summary>
    public required bool Tls { get; init; }

    /// <summary>Whom to trust and who the service is; null: the machine's authorities, and nobody.</summary>
    public BrokerTls? Certificates { get; init; }

    /// <summary>Silence after which the service asks whether the broker is still there, s; 1 to 300.</summary>
    public int KeepAliveSeconds { get; init; } = UsualSeconds;

    /// <summary>How long the broker may take for an answer, the connection included, s; 1 to 60.</summary>
    public int AnswerSeconds { get; init; } = UsualSeconds;

    /// <summary>Topic on which the service says that it is there, retained, and the broker that it is not; null for none.</summary>
    public string? StatusTopic { get; init; }

    /// <summary>Stable client id: the broker keeps the session under it.</summary>
    public required string ClientId { get; init; }

    /// <summary>User name; null for none.</summary>
    public string? User { get; init; }

    /// <summary>Password; null for none.</summary>
    public string? Password { get; init; }

    /// <inheritdoc/>
    public override string ToString() =>
        string.Create(CultureInfo.InvariantCulture, $"{(Tls ? "mqtts" : "mqtt")}://{(Host.Contains(':', StringComparison.Ordinal) ? $"[{Host}]" : Host)}:{Port}");
}
