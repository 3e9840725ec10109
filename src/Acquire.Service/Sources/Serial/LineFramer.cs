using Acquire.Service.Configuration;

namespace Acquire.Service.Sources.Serial;

/// <summary>What the framer found.</summary>
public enum FrameKind
{
    /// <summary>No whole line yet.</summary>
    None,

    /// <summary>A line, without its line end.</summary>
    Line,

    /// <summary>More than <see cref="LineFramer.LongestLineBytes"/> bytes without a line end; everything up to the next line end is thrown away.</summary>
    TooLong,
}

/// <summary>Cuts a stream of bytes into lines. No IO; one framer for one opening of a port.</summary>
/// <param name="lineEnd">What ends a line; null for LF or CR LF.</param>
public sealed class LineFramer(LineEnd? lineEnd = null)
{
    /// <summary>Longest line that is taken, bytes without its line end.</summary>
    public const int LongestLineBytes = 1024;

    private readonly LineEnd _lineEnd = lineEnd ?? LineEnd.LineFeed;
    private readonly byte[] _buffer = new byte[4 * LongestLineBytes];
    private int _start;
    private int _end;
    private bool _discarding;

    /// <summary>Where the next bytes are to be written; never empty once <see cref="Take"/> has answered <see cref="FrameKind.None"/>.</summary>
    public Memory<byte> Free => _buffer.AsMemory(_end);

    /// <summary>States that bytes were written at the start of <see cref="Free"/>.</summary>
    /// <param name="count">Bytes, 0 to the length of <see cref="Free"/>.</param>
    public void Written(int count)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(count);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(count, _buffer.Length - _end);
        _end += count;
    }

    /// <summary>Takes the next line. Call until it answers <see cref="FrameKind.None"/>.</summary>
    /// <param name="line">The line; valid until the next call.</param>
    public FrameKind Take(out ReadOnlyMemory<byte> line)
    {
        line = default;
        while (true)
        {
            var pending = _buffer.AsSpan(_start, _end - _start);
            var length = pending.IndexOf(_lineEnd.Bytes.Span);
            if (length < 0)
            {
                return KeepPartial(pending.Length);
            }

            var start = _start;
            _start += length + _lineEnd.Bytes.Length;
            if (_discarding)
            {
                _discarding = false;
                continue;
            }

            if (_lineEnd.DropsCarriageReturn && length > 0 && pending[length - 1] == '\r')
            {
                length--;
            }

            if (length > LongestLineBytes)
            {
                return FrameKind.TooLong;
            }

            line = _buffer.AsMemory(start, length);
            return FrameKind.Line;
        }
    }

    private FrameKind KeepPartial(int pending)
    {
        // A few bytes more than the longest line may be the beginning of a line end that is not whole yet.
        var tooLong = !_discarding && pending > LongestLineBytes + _lineEnd.Bytes.Length;
        _discarding |= tooLong;
        var kept = _discarding ? Math.Min(pending, _lineEnd.Bytes.Length - 1) : pending;
        _buffer.AsSpan(_end - kept, kept).CopyTo(_buffer);
        (_start, _end) = (0, kept);
        return tooLong ? FrameKind.TooLong : FrameKind.None;
    }
}
