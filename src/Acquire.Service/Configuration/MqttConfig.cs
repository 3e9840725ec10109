using System.Globalization;
using System.Net;

namespace Acquire.Service.Configuration;

/// <summary>Where MQTT readings come from.</summary>
public abstract record MqttConfig
{
    private MqttConfig()
    {
    }

    /// <summary>A broker inside the service, for publishers on the same machine.</summary>
    /// <param name="Address">Loopback address.</param>
    /// <param name="Port">1 to 65535.</param>
    public sealed record Embedded(IPAddress Address, int Port) : MqttConfig;

    /// <summary>A broker elsewhere, to which the service connects.</summary>
    /// <param name="Connection">How to reach it.</param>
    public sealed record External(BrokerAddress Connection) : MqttConfig;
}

/// <summary>How to reach a broker. Its text never holds the password.</summary>
public sealed record BrokerAddress
{
    /// <summary>Host name or address.</summary>
    public required string Host { get; init; }

    /// <summary>1 to 65535.</summary>
    public required int Port { get; init; }

    /// <summary>Whether the connection is TLS with normal certificate checks.</summary>
    public required bool Tls { get; init; }

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
