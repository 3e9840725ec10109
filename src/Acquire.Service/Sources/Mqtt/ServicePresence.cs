using System.Text.Json;
using MQTTnet;
using MQTTnet.Protocol;

namespace Acquire.Service.Sources.Mqtt;

/// <summary>Says on a topic of the broker whether the service is there; the broker itself says that it is not when the connection breaks (last will).</summary>
/// <param name="topic">Topic without wildcards.</param>
public sealed class ServicePresence(string topic)
{
    // With it a reader can tell a late word of an old start from one of the newest.
    private readonly string _boot = Guid.NewGuid().ToString("N");

    /// <summary>The message: retained, at least once, `{"online":true,"boot":"..."}`.</summary>
    public MqttApplicationMessage Message(bool online) => new MqttApplicationMessageBuilder()
        .WithTopic(topic)
        .WithPayload(JsonSerializer.SerializeToUtf8Bytes(new { online, boot = _boot }))
        .WithContentType("application/json")
        .WithQualityOfServiceLevel(MqttQualityOfServiceLevel.AtLeastOnce)
        .WithRetainFlag()
        .Build();
}
