using System.Collections.Concurrent;
using System.Net;
using System.Net.Sockets;
using Acquire.Service.Sources.Modbus;
using Acquire.Service.Tests.Sources.Serial;

namespace Acquire.Service.Tests.Sources.Modbus;

/// <summary>A unit that answers as a test says: late, in pieces, wrongly, or not at all.</summary>
internal sealed class ScriptedUnit : IAsyncDisposable
{
    private readonly CancellationTokenSource _stop = new();
    private readonly ConcurrentQueue<Task> _talks = new();
    private TcpListener? _listener;

    /// <summary>Told each request as it came, and how to send; both in the order of the wire.</summary>
    public required Func<byte[], Func<byte[], Task>, Task> Answer { get; set; }

    /// <summary>How many connections were taken.</summary>
    public int Connections { get; private set; }

    /// <summary>Its port on the loopback address.</summary>
    public int Port => ((IPEndPoint)_listener!.LocalEndpoint).Port;

    /// <summary>Listens on a free loopback port.</summary>
    public void Listen()
    {
        _listener = new TcpListener(IPAddress.Loopback, 0);
        _listener.Start();
        _talks.Enqueue(Task.Run(AcceptAsync));
    }

    /// <summary>Sits at the far end of a serial line.</summary>
    public void Sit(PtyPair pair)
    {
        var wire = new FileStream(pair.Far, FileMode.Open, FileAccess.ReadWrite, FileShare.ReadWrite, 0);
        _talks.Enqueue(Task.Run(() => TalkAsync(wire, RtuFrames.RequestBytes)));
    }

    /// <summary>The answer over the network to a request: as many registers as were asked for, all holding a number.</summary>
    public static byte[] Registers(byte[] request, byte value)
    {
        var count = request[11];
        return [request[0], request[1], 0, 0, 0, (byte)(3 + (2 * count)), request[6], request[7], (byte)(2 * count), .. Filled(count, value)];
    }

    /// <summary>The same on a serial line.</summary>
    public static byte[] RtuRegisters(byte[] request, byte value) => ModbusSamples.RtuFrame([request[0], request[1], (byte)(2 * request[5]), .. Filled(request[5], value)]);

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        _listener?.Dispose();

        // A read at the end of a pseudo terminal ends with the terminal only; nobody waits for it.
        _stop.Dispose();
    }

    private static IEnumerable<byte> Filled(int count, byte value) => Enumerable.Range(0, count).SelectMany(_ => new byte[] { 0, value });

    private async Task AcceptAsync()
    {
        while (!_stop.IsCancellationRequested)
        {
            var client = await _listener!.AcceptTcpClientAsync(_stop.Token);
            client.NoDelay = true;
            Connections++;
            _talks.Enqueue(Task.Run(() => TalkAsync(client.GetStream(), TcpFrames.RequestBytes)));
        }
    }

    private async Task TalkAsync(Stream wire, int requestBytes)
    {
        await using (wire)
        {
            var request = new byte[requestBytes];
            try
            {
                while (true)
                {
                    await wire.ReadExactlyAsync(request, _stop.Token);
                    await Answer((byte[])request.Clone(), async bytes =>
                    {
                        await wire.WriteAsync(bytes, _stop.Token);
                        await wire.FlushAsync(_stop.Token);
                    });
                }
            }
            catch (Exception exception) when (exception is IOException or OperationCanceledException or ObjectDisposedException)
            {
                // The other end went away, or the test is over.
            }
        }
    }
}
