namespace Acquire.Service.Sources;

/// <summary>The newest bytes of a wire. One task fills it, another looks into it and waits.</summary>
/// <param name="time">Clock.</param>
internal sealed class WireBuffer(TimeProvider time)
{
    /// <summary>Bytes that are kept; of more, the oldest are thrown away: no answer and no line is that long.</summary>
    public const int Capacity = 2048;

    private readonly Lock _lock = new();
    private readonly byte[] _bytes = new byte[Capacity];
    private int _count;
    private long _lastByte = time.GetTimestamp();
    private Exception? _end;
    private TaskCompletionSource _changed = new(TaskCreationOptions.RunContinuationsAsynchronously);

    /// <summary>Completes when more has come, or the wire has ended. Ask for it before looking.</summary>
    public Task Changed
    {
        get
        {
            lock (_lock)
            {
                return _changed.Task;
            }
        }
    }

    /// <summary>Since the newest byte came, or the wire was opened.</summary>
    public TimeSpan Silence
    {
        get
        {
            lock (_lock)
            {
                return time.GetElapsedTime(_lastByte);
            }
        }
    }

    /// <summary>Fills the buffer until the wire ends. Never throws.</summary>
    /// <param name="readAsync">Waits for bytes; 0 at the end.</param>
    /// <param name="cancellationToken">Ends it.</param>
    public async Task FillAsync(Func<Memory<byte>, CancellationToken, ValueTask<int>> readAsync, CancellationToken cancellationToken)
    {
        var chunk = new byte[512];
        try
        {
            int count;
            while ((count = await readAsync(chunk, cancellationToken).ConfigureAwait(false)) > 0)
            {
                Add(chunk.AsSpan(0, count));
            }

            End(new EndOfStreamException("end of data"));
        }
#pragma warning disable CA1031 // Drivers throw whatever they like; whoever waits for bytes is told.
        catch (Exception exception)
#pragma warning restore CA1031
        {
            End(exception);
        }
    }

    /// <summary>Copies what there is. After the wire's end, and with nothing left, says so.</summary>
    /// <returns>How many bytes.</returns>
    /// <exception cref="IOException">The wire has ended.</exception>
    public int CopyTo(Span<byte> bytes)
    {
        lock (_lock)
        {
            if (_end is not null && _count == 0)
            {
                throw new IOException(_end.Message, _end);
            }

            _bytes.AsSpan(0, _count).CopyTo(bytes);
            return _count;
        }
    }

    /// <summary>Throws the oldest bytes away.</summary>
    /// <returns>How many there were to throw away.</returns>
    public int Drop(int count)
    {
        lock (_lock)
        {
            var dropped = Math.Min(count, _count);
            Shift(dropped);
            return dropped;
        }
    }

    private void Add(ReadOnlySpan<byte> bytes)
    {
        lock (_lock)
        {
            var over = _count + bytes.Length - Capacity;
            if (over > 0)
            {
                Shift(over);
            }

            bytes.CopyTo(_bytes.AsSpan(_count));
            _count += bytes.Length;
            _lastByte = time.GetTimestamp();
            Tell();
        }
    }

    private void End(Exception exception)
    {
        lock (_lock)
        {
            _end = exception;
            Tell();
        }
    }

    private void Shift(int count)
    {
        _bytes.AsSpan(count, _count - count).CopyTo(_bytes);
        _count -= count;
    }

    private void Tell()
    {
        _changed.SetResult();
        _changed = new(TaskCreationOptions.RunContinuationsAsynchronously);
    }
}
