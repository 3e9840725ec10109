using Acquire.Service.Configuration;

namespace Acquire.Service.Sources.Serial;

/// <summary>What became of one command.</summary>
/// <param name="Line">The answer without its line end; null where none came in time.</param>
/// <param name="Fragment">What came without a line end; null where nothing did.</param>
/// <param name="ForeignBytes">Bytes that came while nothing was asked, or more than a line may have.</param>
internal readonly record struct LineAnswer(ReadOnlyMemory<byte>? Line, ReadOnlyMemory<byte>? Fragment, int ForeignBytes);

/// <summary>Commands and answers over one opening of a port, one at a time.</summary>
internal sealed class LineExchange
{
    private static readonly TimeSpan LongestWrite = TimeSpan.FromSeconds(1);

    // A tester that hung answers everything at once when it goes on; those commands were counted when they were given up.
    private static readonly TimeSpan LateAnswers = TimeSpan.FromSeconds(5);

    private readonly OpenPort _port;
    private readonly SourceConfig.Serial _config;
    private readonly TimeProvider _time;
    private readonly WireBuffer _wire;
    private readonly byte[] _received = new byte[WireBuffer.Capacity];
    private long _givenUpAt;

    /// <param name="port">The port.</param>
    /// <param name="config">What ends a line, and how fast bytes come.</param>
    /// <param name="time">Clock.</param>
    /// <param name="cancellationToken">Ends the reading.</param>
    public LineExchange(OpenPort port, SourceConfig.Serial config, TimeProvider time, CancellationToken cancellationToken)
    {
        (_port, _config, _time, _wire) = (port, config, time, new(time));

        // What an adapter still holds from before it was opened is nobody's fault.
        _givenUpAt = time.GetTimestamp();
        _ = _wire.FillAsync(port.ReadAsync, cancellationToken);
    }

    /// <summary>Sends a command and waits for a line.</summary>
    /// <exception cref="IOException">The port is lost; other faults of the driver come as they are.</exception>
    public async Task<LineAnswer> AskAsync(ReadOnlyMemory<byte> command, TimeSpan timeout, CancellationToken cancellationToken)
    {
        var strays = _wire.Drop(WireBuffer.Capacity);

        // Throws where reading has ended: a write to a port that is gone may never end, and takes the closing with it.
        _wire.CopyTo(_received);
        var foreign = _time.GetElapsedTime(_givenUpAt) < LateAnswers ? 0 : strays;
        await SendAsync(command, cancellationToken);
        var sent = _time.GetTimestamp();

        // What the command takes on the wire comes on top.
        var limit = timeout + TimeSpan.FromSeconds(_config.Settings.SecondsFor(command.Length));
        while (true)
        {
            var changed = _wire.Changed;
            var count = _wire.CopyTo(_received);
            if (TakeLine(command.Span, count, ref foreign) is { } line)
            {
                return new(line, null, foreign);
            }

            var left = limit - _time.GetElapsedTime(sent);
            if (left <= TimeSpan.Zero)
            {
                _givenUpAt = _time.GetTimestamp();
                return new(null, count > 0 ? (ReadOnlyMemory<byte>?)_received.AsMemory(0, count) : null, foreign);
            }

            await changed.WaitAsync(Waits.WholeMilliseconds(left), _time, cancellationToken).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            cancellationToken.ThrowIfCancellationRequested();
        }
    }

    // An empty line, and the command itself where the tester sends it back, are no answers.
    private ReadOnlyMemory<byte>? TakeLine(ReadOnlySpan<byte> command, int count, ref int foreign)
    {
        var (start, taken) = (0, 0);
        try
        {
            while (true)
            {
                var pending = _received.AsSpan(start, count - start);
                var length = pending.IndexOf(_config.End.Bytes.Span);
                if (length < 0)
                {
                    if (pending.Length > LineFramer.LongestLineBytes + _config.End.Bytes.Length)
                    {
                        (taken, foreign) = (count, foreign + pending.Length);
                    }

                    return null;
                }

                var line = Trim(pending[..length]);
                var begin = start;
                start = taken = start + length + _config.End.Bytes.Length;
                if (line.Length > LineFramer.LongestLineBytes)
                {
                    foreign += line.Length;
                }
                else if (!line.IsEmpty && !line.SequenceEqual(command.TrimEnd("\r\n"u8)))
                {
                    return _received.AsMemory(begin, line.Length);
                }
            }
        }
        finally
        {
            _wire.Drop(taken);
        }
    }

    private ReadOnlySpan<byte> Trim(ReadOnlySpan<byte> line) => _config.End.DropsCarriageReturn && line is [.., (byte)'\r'] ? line[..^1] : line;

    private async Task SendAsync(ReadOnlyMemory<byte> command, CancellationToken cancellationToken)
    {
        try
        {
            await _port.WriteAsync(command, cancellationToken).AsTask().WaitAsync(LongestWrite, _time, cancellationToken);
        }
        catch (TimeoutException exception)
        {
            throw new IOException("it takes no more bytes", exception);
        }
    }
}
