using System.Text;
using System.Text.Json;
using Acquire.Core.Readings;
using MQTTnet;
using MQTTnet.Protocol;
using Xunit;

namespace Acquire.EndToEnd.Tests.Rig;

/// <summary>A tester that publishes what it likes, as fast as it likes.</summary>
internal sealed class Publisher : IDisposable
{
    private readonly IMqttClient _client = new MqttClientFactory().CreateMqttClient();

    /// <summary>Connects to a broker on this machine.</summary>
    public static async Task<Publisher> ConnectAsync(int port)
    {
        var publisher = new Publisher();
        await publisher._client.ConnectAsync(
            new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", port).WithTimeout(TimeSpan.FromSeconds(60)).Build(), TestContext.Current.CancellationToken);
        return publisher;
    }

    /// <summary>Publishes once, acknowledged.</summary>
    public Task SendAsync(string topic, ReadOnlyMemory<byte> payload) => _client.PublishAsync(
        new MqttApplicationMessageBuilder().WithTopic(topic).WithPayload(payload.ToArray()).WithQualityOfServiceLevel(MqttQualityOfServiceLevel.AtLeastOnce).Build(),
        TestContext.Current.CancellationToken);

    /// <summary>Publishes text once, acknowledged.</summary>
    public Task SendAsync(string topic, string payload) => SendAsync(topic, Encoding.UTF8.GetBytes(payload));

    /// <summary>Publishes rows in one message.</summary>
    public Task SendAsync(string topic, IEnumerable<ReadingRow> rows) => SendAsync(topic, JsonSerializer.SerializeToUtf8Bytes(rows.Select(row => new
    {
        time_s = row.AtSeconds,
        temperature_c = row.TemperatureCelsius,
        detector = row.Detector,
        flame = row.FlameOver ? 1 : 0,
    })));

    /// <inheritdoc/>
    public void Dispose() => _client.Dispose();
}
