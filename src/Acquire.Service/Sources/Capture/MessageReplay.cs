using System.Buffers;
using System.Text;
using Acquire.Core;
using Acquire.Service.Configuration;
using Acquire.Service.Sources.Mqtt;

namespace Acquire.Service.Sources.Capture;

/// <summary>Feeds kept messages to the decoders that the service uses. What came twice or late is shown like any other. No IO, no clock.</summary>
internal sealed class MessageReplay
{
    private readonly TopicTree<PayloadDecoder> _decoders = new();
    private readonly Action<double, TappedLine> _line;

    /// <param name="config">The topics.</param>
    /// <param name="line">Told each row, or payload without one, its time in s, and what became of it.</param>
    public MessageReplay(SourceConfig.Mqtt config, Action<double, TappedLine> line)
    {
        _line = line;
        foreach (var topic in config.Topics)
        {
            _decoders.Add(topic.Filter, PayloadDecoder.For(topic));
        }
    }

    /// <summary>Takes the next record.</summary>
    public void Take(WireRecord record)
    {
        if (record.Event != WireEvent.Message)
        {
            return;
        }

        var end = record.Bytes.Span.IndexOf((byte)0);
        var (topic, payload) = (Encoding.UTF8.GetString(record.Bytes.Span[..end]), record.Bytes[(end + 1)..]);
        var seconds = record.AtMicroseconds / 1e6;
        var decoders = new List<PayloadDecoder>();
        _decoders.Match(topic, decoders);
        foreach (var decoder in decoders)
        {
            var (rows, errors) = (new List<DecodedRow>(), new List<InputError>());
            decoder.Decode(new ReadOnlySequence<byte>(payload), seconds, rows, errors);
            rows.ForEach(row => _line(seconds, new(payload, row.Row, null)));
            errors.ForEach(error => _line(seconds, new(payload, null, error with { Path = $"topic {JsonText.Shown(topic)}, {error.Path}" })));
        }
    }
}
