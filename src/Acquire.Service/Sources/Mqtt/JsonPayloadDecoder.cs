using System.Buffers;
using System.Globalization;
using System.Text;
using System.Text.Json;
using Acquire.Core;
using Acquire.Service.Configuration;

namespace Acquire.Service.Sources.Mqtt;

/// <summary>Reads a payload that is a JSON object, or an array of objects, each a row.</summary>
public sealed class JsonPayloadDecoder : PayloadDecoder
{
    // A key that is there twice has no value one could trust, so it is refused with the payload.
    private static readonly JsonDocumentOptions Options = new() { MaxDepth = 32, AllowDuplicateProperties = false };

    private readonly Field[] _fields;
    private readonly bool _hasTime;

    /// <param name="topic">The fields that are read.</param>
    public JsonPayloadDecoder(TopicConfig.Json topic)
    {
        ArgumentNullException.ThrowIfNull(topic);
        _fields = [.. topic.Fields.Select(config => new Field(config, [.. config.Path.Split('.').Select(Encoding.UTF8.GetBytes)]))];
        _hasTime = topic.HasTime;
    }

    /// <inheritdoc/>
    public override void Decode(in ReadOnlySequence<byte> payload, double arrivalSeconds, List<DecodedRow> rows, List<InputError> errors)
    {
        ArgumentNullException.ThrowIfNull(rows);
        ArgumentNullException.ThrowIfNull(errors);
        try
        {
            using var document = JsonDocument.Parse(payload, Options);
            DecodeRoot(document.RootElement, arrivalSeconds, rows, errors);
        }
        catch (Exception exception) when (exception is JsonException or InvalidOperationException)
        {
            // The library throws the second kind for a key with half a character in it.
            var reason = exception is JsonException ? JsonText.Shown(exception.Message) : "a key is not valid text";
            errors.Add(new("payload", $"this is not JSON: {reason}; allowed: an object or an array of objects"));
        }
    }

    private void DecodeRoot(JsonElement root, double arrivalSeconds, List<DecodedRow> rows, List<InputError> errors)
    {
        if (root.ValueKind == JsonValueKind.Object)
        {
            DecodeRow(root, "", arrivalSeconds, rows, errors);
        }
        else if (root.ValueKind != JsonValueKind.Array || root.GetArrayLength() == 0)
        {
            errors.Add(new("payload", $"given {JsonText.Shown(root)}; allowed: an object or an array of objects"));
        }
        else if (!_hasTime && root.GetArrayLength() > 1)
        {
            errors.Add(new("payload", $"given {root.GetArrayLength()} rows without a time; allowed: one, because all would get the same moment. Configure a field for channel \"time\""));
        }
        else
        {
            foreach (var (index, row) in root.EnumerateArray().Index())
            {
                DecodeRow(row, string.Create(CultureInfo.InvariantCulture, $"[{index}]."), arrivalSeconds, rows, errors);
            }
        }
    }

    private void DecodeRow(JsonElement element, string prefix, double arrivalSeconds, List<DecodedRow> rows, List<InputError> errors)
    {
        if (element.ValueKind != JsonValueKind.Object)
        {
            errors.Add(new(prefix.TrimEnd('.'), $"given {JsonText.Shown(element)}; allowed: an object"));
            return;
        }

        var draft = default(RowDraft);
        long? sequence = null;
        foreach (var field in _fields)
        {
            if (Read(ref draft, ref sequence, element, field) is { } mistake)
            {
                errors.Add(new(prefix + field.Config.Path, mistake));
                return;
            }
        }

        if (!draft.HasValue)
        {
            errors.Add(new(prefix.Length > 0 ? prefix.TrimEnd('.') : "payload", "none of the configured fields has a value; allowed: at least one"));
            return;
        }

        rows.Add(new(draft.ToRow(arrivalSeconds), sequence));
    }

    private static string? Read(ref RowDraft draft, ref long? sequence, JsonElement row, Field field)
    {
        var value = row;
        foreach (var name in field.Names)
        {
            if (value.ValueKind != JsonValueKind.Object || !value.TryGetProperty(name, out value))
            {
                value = default;
                break;
            }
        }

        if (value.ValueKind is JsonValueKind.Undefined or JsonValueKind.Null)
        {
            // A driven tester that obeys no command says so with null.
            return field.Config.Channel == ReadingChannel.Command && value.ValueKind == JsonValueKind.Null ? null : field.Config.Optional ? null : value.ValueKind == JsonValueKind.Null ? "given null; allowed: a value" : "is missing; allowed: a value";
        }

        if (field.Config.Channel == ReadingChannel.Sequence)
        {
            return ReadSequence(ref sequence, value);
        }

        if (field.Config.Channel.IsYesOrNo())
        {
            return ReadYesOrNo(ref draft, field.Config.Channel, value);
        }

        if (field.Config.Channel == ReadingChannel.Command)
        {
            return ReadCommand(ref draft, value);
        }

        return value.ValueKind == JsonValueKind.Number && value.TryGetDouble(out var number)
            ? draft.Take(field.Config.Channel, field.Config.Unit, number)
            : $"given {JsonText.Shown(value)}; allowed: a number";
    }

    private static string? ReadCommand(ref RowDraft draft, JsonElement value)
    {
        if (value.ValueKind != JsonValueKind.Number || !value.TryGetInt64(out var sequence) || sequence < 0)
        {
            return $"given {JsonText.Shown(value)}; allowed: {NumberText.AllowedWhole}, or null while the tester obeys no command";
        }

        draft.TakeCommand(sequence);
        return null;
    }

    private static string? ReadSequence(ref long? sequence, JsonElement value)
    {
        if (value.ValueKind != JsonValueKind.Number || !value.TryGetInt64(out var count) || count < 0)
        {
            return $"given {JsonText.Shown(value)}; allowed: {NumberText.AllowedWhole}";
        }

        sequence = count;
        return null;
    }

    private static string? ReadYesOrNo(ref RowDraft draft, ReadingChannel channel, JsonElement value)
    {
        var text = value.ValueKind == JsonValueKind.String ? JsonText.Value(value) : value.GetRawText();
        if (text is not { Length: <= 5 } || !NumberText.TryReadYesOrNo(Encoding.UTF8.GetBytes(text), out var yes))
        {
            return $"given {JsonText.Shown(value)}; allowed: {NumberText.AllowedYesOrNo}";
        }

        draft.Take(channel, yes);
        return null;
    }

    private sealed record Field(FieldConfig Config, byte[][] Names);
}
