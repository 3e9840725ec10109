using System.Buffers;
using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using Acquire.Core;
using Acquire.Core.Readings;
using Acquire.Service.Configuration;

namespace Acquire.Service.Sources.Serial;

/// <summary>Turns one line of a serial tester into a row: checksum, then columns or pattern. No IO, no state between lines, no allocation for a line of columns that is right.</summary>
public sealed class LineDecoder
{
    private static readonly SearchValues<byte> Printable = SearchValues.Create([(byte)'\t', .. Enumerable.Range(0x20, 0x5F).Select(code => (byte)code)]);

    private readonly LineChecksum? _checksum;
    private readonly int _skip;
    private readonly ColumnDecoder? _columns;
    private readonly PatternDecoder? _pattern;

    /// <summary>A decoder for the lines that a tester sends by itself.</summary>
    /// <param name="config">Its source; it has a layout.</param>
    public LineDecoder(SourceConfig.Serial config)
        : this(config, config?.Layout ?? throw new ArgumentException("The source says nothing of its lines.", nameof(config)))
    {
    }

    /// <summary>A decoder for one kind of line.</summary>
    /// <param name="config">Checksum, separator and decimal separator.</param>
    /// <param name="layout">What the lines hold.</param>
    public LineDecoder(SourceConfig.Serial config, LineLayout layout)
    {
        ArgumentNullException.ThrowIfNull(config);
        (_checksum, _skip) = (config.Checksum is { } checksum ? new LineChecksum(checksum) : null, config.Checksum?.Skip ?? 0);
        switch (layout)
        {
            case LineLayout.Columns columns:
                _columns = new(columns, config.Separator, config.DecimalSeparator);
                break;
            case LineLayout.Pattern pattern:
                _pattern = new(pattern, config.DecimalSeparator);
                break;
            default:
                throw new ArgumentOutOfRangeException(nameof(layout), layout, "is no layout that is known");
        }
    }

    /// <summary>Decodes a line without its line end.</summary>
    /// <param name="line">The bytes.</param>
    /// <param name="arrivalSeconds">Time for a line that has no time of its own, s.</param>
    /// <param name="row">The row; meaningless after a mistake.</param>
    /// <param name="error">The place, what it held and what is allowed; null where the line was right.</param>
    public bool TryDecode(ReadOnlySpan<byte> line, double arrivalSeconds, out ReadingRow row, [NotNullWhen(false)] out InputError? error)
    {
        row = default;
        var draft = default(RowDraft);
        error = Read(line, ref draft);
        if (error is null && !draft.HasValue)
        {
            error = new("line", "none of its columns has a value; allowed: at least one");
        }

        if (error is not null)
        {
            return false;
        }

        row = draft.ToRow(arrivalSeconds);
        return true;
    }

    private InputError? Read(ReadOnlySpan<byte> line, ref RowDraft draft)
    {
        // Which bytes a pattern takes is said by the pattern.
        var odd = _columns is null || line.Length < _skip ? -1 : line[_skip..].IndexOfAnyExcept(Printable);
        if (odd >= 0)
        {
            odd += _skip;
            return new("line", string.Create(CultureInfo.InvariantCulture, $"byte 0x{line[odd]:X2} at position {odd + 1}; allowed: printable ASCII (0x20 to 0x7E) and tabs"));
        }

        if (_checksum?.Take(ref line) is { } wrong)
        {
            return new("line", wrong);
        }

        return _columns is not null ? _columns.Read(line, ref draft) : _pattern!.Read(line, ref draft);
    }
}
