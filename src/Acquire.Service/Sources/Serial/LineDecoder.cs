using System.Buffers;
using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using Acquire.Core;
using Acquire.Core.Readings;
using Acquire.Service.Configuration;
using Acquire.Service.Configuration.Parsing;

namespace Acquire.Service.Sources.Serial;

/// <summary>Turns one line of a serial tester into a row. No IO, no state between lines, no allocation for a line that is right.</summary>
public sealed class LineDecoder
{
    private static readonly SearchValues<byte> Printable = SearchValues.Create([(byte)'\t', .. Enumerable.Range(0x20, 0x5F).Select(code => (byte)code)]);

    private readonly ColumnConfig[] _columns;
    private readonly byte _separator;
    private readonly char _decimalSeparator;

    /// <param name="config">Columns, separator and decimal separator.</param>
    public LineDecoder(SourceConfig.Serial config)
    {
        ArgumentNullException.ThrowIfNull(config);
        _columns = [.. config.Columns];
        _separator = (byte)config.Separator;
        _decimalSeparator = config.DecimalSeparator;
    }

    /// <summary>Decodes a line without its line end.</summary>
    /// <param name="line">The bytes.</param>
    /// <param name="arrivalSeconds">Time for a line that has no time column, s.</param>
    /// <param name="row">The row; meaningless after a mistake.</param>
    /// <param name="error">The column, what it held and what is allowed; null where the line was right.</param>
    public bool TryDecode(ReadOnlySpan<byte> line, double arrivalSeconds, out ReadingRow row, [NotNullWhen(false)] out InputError? error)
    {
        row = default;
        var odd = line.IndexOfAnyExcept(Printable);
        if (odd >= 0)
        {
            error = new("line", string.Create(CultureInfo.InvariantCulture, $"byte 0x{line[odd]:X2} at position {odd + 1}; allowed: printable ASCII (0x20 to 0x7E) and tabs"));
            return false;
        }

        var draft = default(RowDraft);
        var rest = Trim(line);
        var count = 0;
        var more = true;
        while (more)
        {
            more = TakeCell(ref rest, out var cell);
            if (count < _columns.Length && Read(ref draft, _columns[count], cell) is { } mistake)
            {
                error = new(ColumnName(count), mistake);
                return false;
            }

            count++;
        }

        if (count != _columns.Length)
        {
            error = new("line", $"given {count} columns in \"{NumberText.Shown(line)}\"; allowed: {_columns.Length}");
            return false;
        }

        if (!draft.HasValue)
        {
            error = new("line", "none of its columns has a value; allowed: at least one");
            return false;
        }

        row = draft.ToRow(arrivalSeconds);
        error = null;
        return true;
    }

    private string? Read(ref RowDraft draft, ColumnConfig column, ReadOnlySpan<byte> cell)
    {
        // An empty column is a reading that was not made, as in a trace; only a row's own time cannot be left out.
        if (column.Channel == ReadingChannel.Ignore || (cell.IsEmpty && column.Channel != ReadingChannel.Time))
        {
            return null;
        }

        return draft.TakeText(column.Channel, column.Unit, cell, _decimalSeparator);
    }

    /// <returns>Whether another cell follows; an empty one after the last separator is a cell too.</returns>
    private bool TakeCell(ref ReadOnlySpan<byte> rest, out ReadOnlySpan<byte> cell)
    {
        var end = _separator == ' ' ? rest.IndexOfAny((byte)' ', (byte)'\t') : rest.IndexOf(_separator);
        cell = Trim(end < 0 ? rest : rest[..end]);
        if (end >= 0)
        {
            rest = _separator == ' ' ? Trim(rest[end..]) : rest[(end + 1)..];
        }

        return end >= 0;
    }

    private string ColumnName(int index) => string.Create(CultureInfo.InvariantCulture, $"column {index + 1} ({ChannelReader.Word(_columns[index].Channel)})");

    // Where tabs separate, a tab at the edge is an empty column and not a blank.
    private ReadOnlySpan<byte> Trim(ReadOnlySpan<byte> text) => _separator == '\t' ? text.Trim((byte)' ') : text.Trim(" \t"u8);
}
