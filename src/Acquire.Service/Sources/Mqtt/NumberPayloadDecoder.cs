using System.Buffers;
using Acquire.Core;
using Acquire.Service.Configuration;

namespace Acquire.Service.Sources.Mqtt;

/// <summary>Reads a payload that is one number, or one word for yes or no, as text.</summary>
/// <param name="topic">What the number is.</param>
public sealed class NumberPayloadDecoder(TopicConfig.Number topic) : PayloadDecoder
{
    private const string Path = "payload";

    /// <inheritdoc/>
    public override void Decode(in ReadOnlySequence<byte> payload, double arrivalSeconds, List<DecodedRow> rows, List<InputError> errors)
    {
        ArgumentNullException.ThrowIfNull(rows);
        ArgumentNullException.ThrowIfNull(errors);
        if (payload.Length > NumberText.LongestBytes)
        {
            errors.Add(new(Path, $"given {payload.Length} bytes; allowed: up to {NumberText.LongestBytes}"));
            return;
        }

        Span<byte> copy = stackalloc byte[NumberText.LongestBytes];
        payload.CopyTo(copy);
        var text = copy[..(int)payload.Length].Trim(" \t\r\n"u8);
        var draft = default(RowDraft);
        if (draft.TakeText(topic.Channel, topic.Unit, text, '.') is { } mistake)
        {
            errors.Add(new(Path, mistake));
            return;
        }

        rows.Add(new(draft.ToRow(arrivalSeconds), null));
    }
}
