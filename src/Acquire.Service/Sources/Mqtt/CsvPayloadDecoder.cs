using System.Buffers;
using System.Globalization;
using Acquire.Core;
using Acquire.Service.Configuration;
using Acquire.Service.Configuration.Parsing;

namespace Acquire.Service.Sources.Mqtt;

/// <summary>Reads a payload of lines, each a row of columns.</summary>
public sealed class CsvPayloadDecoder : PayloadDecoder
{
    private readonly TopicConfig.Csv _topic;
    private readonly bool _hasTime;

    /// <param name="topic">Columns and separators.</param>
    public CsvPayloadDecoder(TopicConfig.Csv topic)
    {
        ArgumentNullException.ThrowIfNull(topic);
        (_topic, _hasTime) = (topic, topic.HasTime);
    }

    /// <inheritdoc/>
    public override void Decode(in ReadOnlySequence<byte> payload, double arrivalSeconds, List<DecodedRow> rows, List<InputError> errors)
    {
        ArgumentNullException.ThrowIfNull(rows);
        ArgumentNullException.ThrowIfNull(errors);
        var bytes = payload.IsSingleSegment ? payload.FirstSpan : payload.ToArray();
        var (number, filled) = (0, 0);
        while (!bytes.IsEmpty)
        {
            var end = bytes.IndexOf((byte)'\n');
            var line = (end < 0 ? bytes : bytes[..end]).TrimEnd((byte)'\r');
            bytes = end < 0 ? default : bytes[(end + 1)..];
            number++;
            if (line.Trim(" \t"u8).IsEmpty)
            {
                continue;
            }

            if (++filled > 1 && !_hasTime)
            {
                errors.Add(new(Line(number), "a second row without a time; allowed: one, because all would get the same moment. Configure a column for channel \"time\""));
                return;
            }

            DecodeLine(line, Line(number), arrivalSeconds, rows, errors);
        }

        if (filled == 0)
        {
            errors.Add(new("payload", "holds no line; allowed: at least one"));
        }
    }

    private static string Line(int number) => string.Create(CultureInfo.InvariantCulture, $"line {number}");

    private void DecodeLine(ReadOnlySpan<byte> line, string place, double arrivalSeconds, List<DecodedRow> rows, List<InputError> errors)
    {
        var draft = default(RowDraft);
        long? sequence = null;
        var rest = line;
        var (count, more) = (0, true);
        for (; more; count++)
        {
            more = TakeCell(ref rest, out var cell);
            if (count < _topic.Columns.Count && Read(ref draft, ref sequence, _topic.Columns[count], cell) is { } mistake)
            {
                errors.Add(new(string.Create(CultureInfo.InvariantCulture, $"{place}, column {count + 1} ({ChannelReader.Word(_topic.Columns[count].Channel)})"), mistake));
                return;
            }
        }

        if (count != _topic.Columns.Count)
        {
            errors.Add(new(place, string.Create(CultureInfo.InvariantCulture, $"given {count} columns in \"{NumberText.Shown(line)}\"; allowed: {_topic.Columns.Count}")));
        }
        else if (!draft.HasValue)
        {
            errors.Add(new(place, "none of its columns has a value; allowed: at least one"));
        }
        else
        {
            rows.Add(new(draft.ToRow(arrivalSeconds), sequence));
        }
    }

    private string? Read(ref RowDraft draft, ref long? sequence, ColumnConfig column, ReadOnlySpan<byte> cell)
    {
        switch (column.Channel)
        {
            case ReadingChannel.Ignore:
                return null;
            case ReadingChannel.Sequence:
                if (!NumberText.TryReadWhole(cell, out var given))
                {
                    return $"given \"{NumberText.Shown(cell)}\"; allowed: {NumberText.AllowedWhole}";
                }

                sequence = given;
                return null;
            default:
                // An empty column is a reading that was not made; only a row's own time cannot be left out.
                return cell.IsEmpty && column.Channel != ReadingChannel.Time ? null : draft.TakeText(column.Channel, column.Unit, cell, _topic.DecimalSeparator);
        }
    }

    /// <returns>Whether another cell follows; an empty one after the last separator is a cell too.</returns>
    private bool TakeCell(ref ReadOnlySpan<byte> rest, out ReadOnlySpan<byte> cell)
    {
        rest = Trim(rest);
        var end = _topic.Separator == ' ' ? rest.IndexOfAny((byte)' ', (byte)'\t') : rest.IndexOf((byte)_topic.Separator);
        cell = Trim(end < 0 ? rest : rest[..end]);
        rest = end < 0 ? default : rest[(end + 1)..];
        return end >= 0;
    }

    // Where tabs separate, a tab at the edge is an empty column and not a blank.
    private ReadOnlySpan<byte> Trim(ReadOnlySpan<byte> text) => _topic.Separator == '\t' ? text.Trim((byte)' ') : text.Trim(" \t"u8);
}
