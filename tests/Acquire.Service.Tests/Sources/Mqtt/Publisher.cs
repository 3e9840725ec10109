using System.Collections.Concurrent;
using System.Security.Cryptography.X509Certificates;
using MQTTnet;
using MQTTnet.Formatter;
using MQTTnet.Protocol;

namespace Acquire.Service.Tests.Sources.Mqtt;

/// <summary>A tester that publishes over TCP.</summary>
internal sealed class Publisher : IDisposable
{
    private readonly IMqttClient _client = new MqttClientFactory().CreateMqttClient();

    public static async Task<Publisher> ConnectAsync(int port, CancellationToken cancellationToken, MqttProtocolVersion version = MqttProtocolVersion.V500)
    {
        var publisher = new Publisher();
        await publisher._client.ConnectAsync(
            new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", port).WithProtocolVersion(version).WithTimeout(TimeSpan.FromSeconds(20)).Build(), cancellationToken);
        return publisher;
    }

    public static async Task<Publisher> ConnectAsync(int port, string user, string password, CancellationToken cancellationToken, string? caFile = null, string? willTopic = null)
    {
        var publisher = new Publisher();
        var options = new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", port).WithProtocolVersion(MqttProtocolVersion.V500).WithTimeout(TimeSpan.FromSeconds(20)).WithCredentials(user, password);
        if (caFile is not null)
        {
            var authorities = new X509Certificate2Collection();
            authorities.ImportFromPemFile(caFile);
            options.WithTlsOptions(tls => tls.UseTls().WithTrustChain(authorities).WithRevocationMode(X509RevocationMode.NoCheck));
        }

        if (willTopic is not null)
        {
            options.WithWillTopic(willTopic).WithWillPayload("gone");
        }

        publisher.Connected = await publisher._client.ConnectAsync(options.Build(), cancellationToken);
        publisher._client.ApplicationMessageReceivedAsync += message =>
        {
            publisher.Received.Enqueue(message.ApplicationMessage.Topic + " " + message.ApplicationMessage.ConvertPayloadToString());
            return Task.CompletedTask;
        };
        return publisher;
    }

    /// <summary>How the broker answered.</summary>
    public MqttClientConnectResult? Connected { get; private set; }

    /// <summary>What came on the topics that were subscribed, as topic, blank, payload.</summary>
    public ConcurrentQueue<string> Received { get; } = new();

    public async Task<MqttClientSubscribeResultCode> SubscribeAsync(string filter, CancellationToken cancellationToken) =>
        (await _client.SubscribeAsync(new MqttClientSubscribeOptionsBuilder().WithTopicFilter(filter, MqttQualityOfServiceLevel.AtLeastOnce).Build(), cancellationToken)).Items.First().ResultCode;

    public Task<MqttClientPublishResult> SendAsync(
        string topic, string payload, CancellationToken cancellationToken, MqttQualityOfServiceLevel quality = MqttQualityOfServiceLevel.AtLeastOnce, bool retain = false) =>
        _client.PublishAsync(new MqttApplicationMessageBuilder().WithTopic(topic).WithPayload(payload).WithQualityOfServiceLevel(quality).WithRetainFlag(retain).Build(), cancellationToken);

    public void Dispose() => _client.Dispose();
}
