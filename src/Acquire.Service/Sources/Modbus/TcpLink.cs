using System.Globalization;
using System.Net.Sockets;
using Acquire.Service.Configuration;

namespace Acquire.Service.Sources.Modbus;

/// <summary>Units behind a network connection.</summary>
/// <param name="wire">Host and port.</param>
/// <param name="time">Clock.</param>
internal sealed class TcpLink(ModbusWire.Tcp wire, TimeProvider time) : ModbusLink
{
    /// <summary>After so many requests in a row with not one byte in return the connection is taken for dead at its other end.</summary>
    public const int SilencesUntilLost = 3;

    private static readonly TimeSpan LongestOpening = TimeSpan.FromSeconds(1);
    private static readonly TimeSpan LongestWrite = TimeSpan.FromSeconds(1);

    private readonly byte[] _received = new byte[WireBuffer.Capacity];
    private Socket? _socket;
    private WireBuffer? _buffer;
    private CancellationTokenSource? _filling;
    private ushort _transaction;
    private int _silences;

    /// <inheritdoc/>
    public override string Name => wire.Name;

    /// <summary>None: a late answer carries the number of its own request.</summary>
    public override TimeSpan RestAfterSilence(TimeSpan timeout) => TimeSpan.Zero;

    /// <inheritdoc/>
    public override async Task OpenAsync(CancellationToken cancellationToken)
    {
        _socket = new Socket(SocketType.Stream, ProtocolType.Tcp) { NoDelay = true };
        using var limit = new CancellationTokenSource(LongestOpening, time);
        using var both = CancellationTokenSource.CreateLinkedTokenSource(cancellationToken, limit.Token);
        try
        {
            await _socket.ConnectAsync(wire.Host, wire.Port, both.Token);
        }
        catch (OperationCanceledException exception) when (!cancellationToken.IsCancellationRequested)
        {
            throw new TimeoutException("no connection in time", exception);
        }

        (_buffer, _filling, _silences) = (new(time), new(), 0);
        _ = _buffer.FillAsync(Tapped(_socket.ReceiveAsync), _filling.Token);
    }

    /// <inheritdoc/>
    public override async Task<Exchange> AskAsync(ReadRequest request, TimeSpan timeout, CancellationToken cancellationToken)
    {
        _transaction = unchecked((ushort)(_transaction + 1));
        await SendAsync(request, cancellationToken);
        var sent = time.GetTimestamp();
        while (true)
        {
            var changed = _buffer!.Changed;
            if (Look(request) is { } answer)
            {
                return answer;
            }

            var left = timeout - time.GetElapsedTime(sent);
            if (left <= TimeSpan.Zero)
            {
                return Silent();
            }

            await changed.WaitAsync(Waits.WholeMilliseconds(left), time, cancellationToken).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            cancellationToken.ThrowIfCancellationRequested();
        }
    }

    /// <inheritdoc/>
    public override void Close()
    {
        _filling?.Cancel();
        _filling?.Dispose();
        _socket?.Dispose();
        (_filling, _socket, _buffer) = (null, null, null);
    }

    /// <inheritdoc/>
    public override string Explain(Exception exception, bool wasOpen)
    {
        var cause = exception as SocketException ?? exception.InnerException as SocketException;
        return (wasOpen, cause?.SocketErrorCode) switch
        {
            (true, _) => $"the connection to {Name} was lost ({exception.Message.TrimEnd('.')}): check the network and the tester's power",
            (_, SocketError.ConnectionRefused) => $"nothing listens at {Name}: switch the tester on; check source.host and source.port",
            (_, SocketError.HostNotFound or SocketError.NoData or SocketError.TryAgain) => $"the name {wire.Host} is not known in this network: check source.host",
            (_, SocketError.HostUnreachable or SocketError.NetworkUnreachable or SocketError.NetworkDown) => $"there is no way to {Name}: check the network cable and source.host",
            _ when exception is TimeoutException => string.Create(CultureInfo.InvariantCulture, $"{Name} does not answer within {LongestOpening.TotalSeconds:0} s: check the network cable, the tester's power and source.host"),
            _ => $"{Name} cannot be reached: {exception.Message}",
        };
    }

    private Exchange? Look(in ReadRequest request)
    {
        var count = _buffer!.CopyTo(_received);
        var taken = 0;
        try
        {
            while (true)
            {
                var rest = _received.AsSpan(taken, count - taken);
                var frame = TcpFrames.Look(rest);
                if (frame.Kind == TcpFrameKind.Broken)
                {
                    throw new IOException($"what came is no Modbus: {Convert.ToHexString(rest[..TcpFrames.HeaderBytes])}");
                }

                if (frame.Kind == TcpFrameKind.Partial)
                {
                    return null;
                }

                _silences = 0;
                taken += frame.Length;

                // Another number is the late answer to a request that was given up.
                if (frame.TransactionId == _transaction)
                {
                    return TcpFrames.Read(rest[..frame.Length], request);
                }
            }
        }
        finally
        {
            _buffer.Drop(taken);
        }
    }

    private Exchange.Silence Silent() => ++_silences < SilencesUntilLost
        ? new()
        : throw new IOException(string.Create(CultureInfo.InvariantCulture, $"{SilencesUntilLost} requests in a row without an answer"));

    private async Task SendAsync(ReadRequest request, CancellationToken cancellationToken)
    {
        var frame = new byte[TcpFrames.RequestBytes];
        TcpFrames.Write(_transaction, request, frame);
        Tap?.Sent?.Invoke(frame);
        try
        {
            await _socket!.SendAsync(frame, cancellationToken).AsTask().WaitAsync(LongestWrite, time, cancellationToken);
        }
        catch (TimeoutException exception)
        {
            throw new IOException("it takes no more bytes", exception);
        }
    }
}
