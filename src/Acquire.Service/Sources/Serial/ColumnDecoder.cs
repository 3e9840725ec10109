using System.Globalization;
using Acquire.Core;
using Acquire.Service.Configuration;
using Acquire.Service.Configuration.Parsing;

namespace Acquire.Service.Sources.Serial;

/// <summary>Reads a line of columns.</summary>
/// <param name="layout">The columns.</param>
/// <param name="separator">What stands between them; a blank means any run of blanks and tabs.</param>
/// <param name="decimalSeparator">Point or comma.</param>
internal sealed class ColumnDecoder(LineLayout.Columns layout, char separator, char decimalSeparator)
{
    private readonly ColumnConfig[] _columns = [.. layout.List];
    private readonly byte _separator = (byte)separator;

    /// <summary>Reads a line.</summary>
    /// <returns>Null where it was right, else the column, what it held and what is allowed.</returns>
    public InputError? Read(ReadOnlySpan<byte> line, ref RowDraft draft)
    {
        var rest = Trim(line);
        var count = 0;
        var more = true;
        while (more)
        {
            more = TakeCell(ref rest, out var cell);
            if (count < _columns.Length && Read(ref draft, _columns[count], cell) is { } mistake)
            {
                return new(ColumnName(count), mistake);
            }

            count++;
        }

        return count == _columns.Length ? null : new("line", $"given {count} columns in \"{NumberText.Shown(line)}\"; allowed: {_columns.Length}");
    }

    private string? Read(ref RowDraft draft, ColumnConfig column, ReadOnlySpan<byte> cell)
    {
        // An empty column is a reading that was not made, as in a trace; only a row's own time cannot be left out.
        if (column.Channel == ReadingChannel.Ignore || (cell.IsEmpty && column.Channel != ReadingChannel.Time))
        {
            return null;
        }

        return draft.TakeText(column.Channel, column.Unit, cell, decimalSeparator);
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
