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
    private readonly RowLayout layout = new(options.Chain);
    private readonly Dictionary<string, string> said = [];
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

            AddNumber(messages, layout.Topic, layout.ThermometerOf(row));
            AddNumber(messages, "junction", layout.JunctionOf(row));
            // Before the first, which decides: of one moment what confirms is to be there when that comes.
            AddNumber(messages, DetectorColumns.Second, row.Has(RowChannels.SecondDetector) ? row.SecondDetector : null);
            AddNumber(messages, DetectorColumns.First, row.Has(RowChannels.Detector) ? row.Detector : null);
            foreach (var (column, channel) in BenchColumns.All)
            {
                AddChange(messages, column, BenchColumns.Text(row, channel));
            }
        }

        return messages;
    }

    /// <summary>An array of objects: time_s, temperature_c or the thermometer's signal, junction_c, detector, second_detector, flame as 0 or 1, and the <see cref="BenchColumns"/>; each where the row has it. A driven tester that obeys no command says so by null.</summary>
    private byte[] Json(IReadOnlyList<ReadingRow> batch)
    {
        var buffer = new ArrayBufferWriter<byte>(batch.Count * 72);
        using (var json = new Utf8JsonWriter(buffer))
        {
            json.WriteStartArray();
            foreach (var row in batch)
            {
                json.WriteStartObject();
                json.WriteNumber("time_s", row.AtSeconds);
                WriteNumber(json, layout.Thermometer, layout.ThermometerOf(row));
                WriteNumber(json, RowLayout.Junction, layout.JunctionOf(row));
                WriteNumber(json, DetectorColumns.First, row.Has(RowChannels.Detector) ? row.Detector : null);
                WriteNumber(json, DetectorColumns.Second, row.Has(RowChannels.SecondDetector) ? row.SecondDetector : null);
                if (row.Has(RowChannels.Flame))
                {
                    json.WriteNumber("flame", row.FlameOver ? 1 : 0);
                }

                if (options.IsDriven && !row.Has(RowChannels.Command))
                {
                    json.WriteNull(BenchColumns.Command);
                }

                foreach (var (column, channel) in BenchColumns.All)
                {
                    if (row.Has(channel))
                    {
                        json.WritePropertyName(column);
                        json.WriteRawValue(BenchColumns.Text(row, channel));
                    }
                }

                json.WriteEndObject();
            }

            json.WriteEndArray();
        }

        return buffer.WrittenSpan.ToArray();
    }

    private static void WriteNumber(Utf8JsonWriter json, string name, double? value)
    {
        if (value is { } number)
        {
            json.WriteNumber(name, number);
        }
    }

    private void AddNumber(List<MqttApplicationMessage> messages, string channel, double? value)
    {
        if (value is { } number)
        {
            messages.Add(Message(channel, Number(number)));
        }
    }

    // What the bench tells changes seldom.
    private void AddChange(List<MqttApplicationMessage> messages, string channel, string value)
    {
        if (value.Length > 0 && said.GetValueOrDefault(channel) != value)
        {
            said[channel] = value;
            messages.Add(Message(channel, Encoding.ASCII.GetBytes(value)));
        }
    }

    private MqttApplicationMessage Message(string channel, byte[] payload) => new MqttApplicationMessageBuilder()
        .WithTopic($"{topic}/{channel}")
        .WithPayload(payload)
        .WithQualityOfServiceLevel(MqttQualityOfServiceLevel.AtLeastOnce)
        .Build();

    private static byte[] Number(double value) => Encoding.ASCII.GetBytes(value.ToString(CultureInfo.InvariantCulture));
}
