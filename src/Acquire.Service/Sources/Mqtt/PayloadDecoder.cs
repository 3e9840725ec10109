using System.Buffers;
using Acquire.Core;
using Acquire.Service.Configuration;

namespace Acquire.Service.Sources.Mqtt;

/// <summary>Turns the payload of one message into rows. No IO; never throws, whatever the payload holds.</summary>
public abstract class PayloadDecoder
{
    /// <summary>The decoder for a topic.</summary>
    public static PayloadDecoder For(TopicConfig topic) => topic switch
    {
        TopicConfig.Json json => new JsonPayloadDecoder(json),
        TopicConfig.Csv csv => new CsvPayloadDecoder(csv),
        TopicConfig.Number number => new NumberPayloadDecoder(number),
        _ => throw new ArgumentOutOfRangeException(nameof(topic)),
    };

    /// <summary>Decodes a payload. A row with a mistake is left out and reported; the others are kept, in order.</summary>
    /// <param name="payload">The bytes; not kept.</param>
    /// <param name="arrivalSeconds">Time for rows that bring none, s.</param>
    /// <param name="rows">Takes the rows.</param>
    /// <param name="errors">Takes the mistakes: the field, what it held, what is allowed.</param>
    public abstract void Decode(in ReadOnlySequence<byte> payload, double arrivalSeconds, List<DecodedRow> rows, List<InputError> errors);
}
