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

    public Task<MqttClientPublishResult> SendAsync(
        string topic, string payload, CancellationToken cancellationToken, MqttQualityOfServiceLevel quality = MqttQualityOfServiceLevel.AtLeastOnce, bool retain = false) =>
        _client.PublishAsync(new MqttApplicationMessageBuilder().WithTopic(topic).WithPayload(payload).WithQualityOfServiceLevel(quality).WithRetainFlag(retain).Build(), cancellationToken);

    public void Dispose() => _client.Dispose();
}
