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

/// <summary>Cuts a stream of bytes into lines that end with LF or CR LF. No IO; one framer for one opening of a port.</summary>
public sealed class LineFramer
{
    /// <summary>Longest line that is taken, bytes without its line end.</summary>
    public const int LongestLineBytes = 1024;

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
            var length = pending.IndexOf((byte)'\n');
            if (length < 0)
            {
                return KeepPartial(pending.Length);
            }

            var start = _start;
            _start += length + 1;
            if (_discarding)
            {
                _discarding = false;
                continue;
            }

            if (length > 0 && pending[length - 1] == '\r')
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
        // One byte more than the longest line may be the CR of a line end whose LF has not come yet.
        var tooLong = !_discarding && pending > LongestLineBytes + 1;
        if (tooLong || _discarding)
        {
            _discarding = true;
            (_start, _end) = (0, 0);
            return tooLong ? FrameKind.TooLong : FrameKind.None;
        }

        _buffer.AsSpan(_start, pending).CopyTo(_buffer);
        (_start, _end) = (0, pending);
        return FrameKind.None;
    }
}
