using System.Buffers;
using System.Globalization;
using System.Text;
using System.Text.Json;
using Acquire.Core.Readings;
using MQTTnet;
using MQTTnet.Protocol;

namespace Acquire.Simulator;

/// <summary>Makes messages of rows, as the simulated tester writes them.</summary>
internal sealed class MqttEncoder(MqttSpeakerOptions options)
{
    private readonly string topic = $"acquire/{options.Tester}";
    private bool? saidFlame;

    public IReadOnlyList<MqttApplicationMessage> Encode(IReadOnlyList<ReadingRow> batch)
    {
        if (!options.SeparateTopics)
        {
            return [Message("readings", Json(batch))];
        }

        var messages = new List<MqttApplicationMessage>();
        foreach (var row in batch)
        {
            if (row.Has(RowChannels.Flame) && row.FlameOver != saidFlame)
            {
                saidFlame = row.FlameOver;
                messages.Add(Message("flame", row.FlameOver ? "1"u8.ToArray() : "0"u8.ToArray()));
            }

            messages.Add(Message("temperature", Number(row.TemperatureCelsius)));
            messages.Add(Message("detector", Number(row.Detector)));
        }

        return messages;
    }

    /// <summary>An array of objects: time_s, temperature_c, detector and, where the row has it, flame as 0 or 1.</summary>
    internal static byte[] Json(IReadOnlyList<ReadingRow> batch)
    {
        var buffer = new ArrayBufferWriter<byte>(batch.Count * 72);
        using (var json = new Utf8JsonWriter(buffer))
        {
            json.WriteStartArray();
            foreach (var row in batch)
            {
                json.WriteStartObject();
                json.WriteNumber("time_s", row.AtSeconds);
                json.WriteNumber("temperature_c", row.TemperatureCelsius);
                json.WriteNumber("detector", row.Detector);
                if (row.Has(RowChannels.Flame))
                {
                    json.WriteNumber("flame", row.FlameOver ? 1 : 0);
                }

                json.WriteEndObject();
            }

            json.WriteEndArray();
        }

        return buffer.WrittenSpan.ToArray();
    }

    private MqttApplicationMessage Message(string channel, byte[] payload) => new MqttApplicationMessageBuilder()
        .WithTopic($"{topic}/{channel}")
        .WithPayload(payload)
        .WithQualityOfServiceLevel(MqttQualityOfServiceLevel.AtLeastOnce)
        .Build();

    private static byte[] Number(double value) => Encoding.ASCII.GetBytes(value.ToString(CultureInfo.InvariantCulture));
}
