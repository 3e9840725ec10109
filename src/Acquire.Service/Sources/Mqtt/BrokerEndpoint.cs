using System.Diagnostics.CodeAnalysis;
using System.Net;
using System.Net.Sockets;
using System.Security.Authentication;
using System.Security.Cryptography.X509Certificates;
using Acquire.Service.Configuration;
using MQTTnet.Server;

namespace Acquire.Service.Sources.Mqtt;

/// <summary>Where and how the embedded broker listens.</summary>
public static class BrokerEndpoint
{
    /// <summary>Why a broker must not be started so: it would be open to the network. Null where it may.</summary>
    public static string? WhyNot(MqttConfig.Embedded config)
    {
        ArgumentNullException.ThrowIfNull(config);
        return IPAddress.IsLoopback(config.Address) || (config.Tls is not null && config.Accounts is { Count: > 0 }) ? null
            : $"mqtt.address: the broker does not start on {config.Address} without \"tls\" and \"accounts\": anyone on the network could send readings. Give both, or a loopback address";
    }

    /// <summary>Options of the server.</summary>
    /// <param name="config">Address, port and certificate.</param>
    /// <param name="options">The options; null after a mistake.</param>
    /// <param name="certificates">Certificates that were read, to be disposed of after the server.</param>
    /// <param name="mistake">Key, file and reason; null where all was read.</param>
    public static bool TryOptions(MqttConfig.Embedded config, [NotNullWhen(true)] out MqttServerOptions? options, out X509Certificate2Collection certificates, [NotNullWhen(false)] out string? mistake)
    {
        ArgumentNullException.ThrowIfNull(config);
        (options, certificates, mistake) = (null, [], null);

        // None keeps the other address family closed.
        var isV6 = config.Address.AddressFamily == AddressFamily.InterNetworkV6;
        var (v4, v6) = (isV6 ? IPAddress.None : config.Address, isV6 ? config.Address : IPAddress.IPv6None);
        if (config.Tls is null)
        {
            options = new MqttServerOptionsBuilder().WithDefaultEndpoint().WithDefaultEndpointPort(config.Port)
                .WithDefaultEndpointBoundIPAddress(v4).WithDefaultEndpointBoundIPV6Address(v6).Build();
            return true;
        }

        if (!CertificateStore.TryReadOwn(config.Tls, out certificates, out var wrong))
        {
            mistake = $"mqtt.tls.certificateFile: {wrong}";
            return false;
        }

        options = new MqttServerOptionsBuilder().WithoutDefaultEndpoint().WithEncryptedEndpoint().WithEncryptedEndpointPort(config.Port)
            .WithEncryptedEndpointBoundIPAddress(v4).WithEncryptedEndpointBoundIPV6Address(v6)
            .WithEncryptionCertificate(certificates[0]).WithEncryptionSslProtocol(SslProtocols.None).Build();
        return true;
    }
}
