using System.Buffers;
using System.Security.Cryptography.X509Certificates;
using Acquire.Service.Configuration;
using MQTTnet;
using MQTTnet.Formatter;
using MQTTnet.Protocol;

namespace Acquire.Service.Sources.Mqtt;

/// <summary>How the service connects and subscribes to a broker.</summary>
public static class BrokerOptions
{
    // A restart of the service or a cut cable is over within a day; after that old readings help no run.
    private static readonly TimeSpan SessionExpiry = TimeSpan.FromDays(1);

    // Messages the broker may send ahead of our acknowledgement: this is the back-pressure.
    private const ushort ReceiveMaximum = 256;

    // Above the payload cap, so that a payload somewhat too large is counted; what is larger the broker keeps to itself.
    private const uint MaximumPacketBytes = 4 * ReadingDispatcher.LargestPayloadBytes;

    /// <summary>Options of the connection: MQTT 5, a session that outlives it, TLS and a last will where asked for.</summary>
    /// <param name="broker">Where and as whom.</param>
    /// <param name="identity">Judges the broker's certificate, and holds the service's own.</param>
    /// <param name="will">What the broker is to publish when the connection breaks; null for nothing.</param>
    public static MqttClientOptions Connect(BrokerAddress broker, BrokerIdentity identity, MqttApplicationMessage? will)
    {
        ArgumentNullException.ThrowIfNull(broker);
        ArgumentNullException.ThrowIfNull(identity);
        var builder = new MqttClientOptionsBuilder()
            .WithProtocolVersion(MqttProtocolVersion.V500)
            .WithTcpServer(broker.Host, broker.Port)
            .WithClientId(broker.ClientId)
            .WithCleanStart(!broker.KeepsSession)
            .WithSessionExpiryInterval(broker.KeepsSession ? (uint)SessionExpiry.TotalSeconds : 0)
            .WithReceiveMaximum(ReceiveMaximum)
            .WithMaximumPacketSize(MaximumPacketBytes)
            .WithKeepAlivePeriod(TimeSpan.FromSeconds(broker.KeepAliveSeconds))
            .WithTimeout(TimeSpan.FromSeconds(broker.AnswerSeconds));
        if (broker.User is not null)
        {
            builder = builder.WithCredentials(broker.User, broker.Password);
        }

        if (broker.Tls)
        {
            builder = builder.WithTlsOptions(tls => Secure(tls, broker, identity));
        }

        if (will is not null)
        {
            builder = builder.WithWillTopic(will.Topic).WithWillPayload(will.Payload.ToArray()).WithWillQualityOfServiceLevel(will.QualityOfServiceLevel).WithWillRetain(will.Retain);
        }

        return builder.Build();
    }

    private static void Secure(MqttClientTlsOptionsBuilder tls, BrokerAddress broker, BrokerIdentity identity)
    {
        tls.UseTls().WithTargetHost(broker.Host).WithCertificateValidationHandler(shown => identity.Trust.Accepts(shown.Certificate, shown.Chain, shown.SslPolicyErrors));
        if ((broker.Certificates?.CaFile ?? broker.Certificates?.PinnedSha256) is not null)
        {
            // A laboratory's own authority publishes no list that could be asked for.
            tls.WithRevocationMode(X509RevocationMode.NoCheck);
        }

        if (identity.Own.Count > 0)
        {
            tls.WithClientCertificates(identity.Own);
        }
    }

    /// <summary>Options of one subscription.</summary>
    /// <remarks>
    /// Messages that carry their own time are asked for at least once. Without it they are asked for at most once: what a broker kept
    /// during an outage would all get the moment of its arrival, and a gap is honest where a false time is not.
    /// Retained messages are not asked for: they are old, and would be taken for new.
    /// </remarks>
    /// <param name="route">What to subscribe.</param>
    /// <param name="identifiers">Whether the broker knows subscription identifiers.</param>
    public static MqttClientSubscribeOptions Subscribe(ReadingDispatcher.Route route, bool identifiers)
    {
        ArgumentNullException.ThrowIfNull(route);
        var quality = route.HasTime ? MqttQualityOfServiceLevel.AtLeastOnce : MqttQualityOfServiceLevel.AtMostOnce;
        var builder = new MqttClientSubscribeOptionsBuilder().WithTopicFilter(filter => filter
            .WithTopic(route.Filter)
            .WithQualityOfServiceLevel(quality)
            .WithRetainHandling(MqttRetainHandling.DoNotSendOnSubscribe));
        return (identifiers ? builder.WithSubscriptionIdentifier(route.SubscriptionIdentifier) : builder).Build();
    }
}
