using System.Diagnostics.CodeAnalysis;
using System.Security.Cryptography.X509Certificates;
using Acquire.Service.Configuration;

namespace Acquire.Service.Sources.Mqtt;

/// <summary>The certificates of one attempt to connect, read from their files each time: a certificate that was renewed is taken with the next connection.</summary>
public sealed class BrokerIdentity : IDisposable
{
    private readonly X509Certificate2Collection _authorities;

    private BrokerIdentity(X509Certificate2Collection authorities, X509Certificate2Collection own, BrokerTrust trust) => (_authorities, Own, Trust) = (authorities, own, trust);

    /// <summary>The service's certificate and those above it; empty for none.</summary>
    public X509Certificate2Collection Own { get; }

    /// <summary>Judges the broker's certificate.</summary>
    public BrokerTrust Trust { get; }

    /// <summary>Reads the files.</summary>
    /// <param name="broker">Which files.</param>
    /// <param name="time">Clock for what has expired.</param>
    /// <param name="identity">What was read; null after a mistake.</param>
    /// <param name="mistake">Key, file and reason; null where all was read.</param>
    public static bool TryRead(BrokerAddress broker, TimeProvider time, [NotNullWhen(true)] out BrokerIdentity? identity, [NotNullWhen(false)] out string? mistake)
    {
        ArgumentNullException.ThrowIfNull(broker);
        identity = null;
        X509Certificate2Collection authorities = [], own = [];
        if (broker.Certificates?.CaFile is { } caFile && !CertificateStore.TryReadAuthorities(caFile, out authorities, out var wrong))
        {
            mistake = $"mqtt.tls.caFile: {wrong}";
            return false;
        }

        if (broker.Certificates?.Client is { } client && !CertificateStore.TryReadOwn(client, out own, out wrong))
        {
            mistake = $"mqtt.tls.certificateFile: {wrong}";
            return false;
        }

        identity = new(authorities, own, new(broker.Certificates, authorities, time));
        mistake = null;
        return true;
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        foreach (var certificate in _authorities.Concat(Own))
        {
            certificate.Dispose();
        }
    }
}
