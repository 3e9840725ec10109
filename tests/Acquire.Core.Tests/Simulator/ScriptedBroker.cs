using System.Buffers.Binary;
using System.Net;
using System.Net.Sockets;
using System.Text;
using Xunit;

namespace Acquire.Core.Tests.Simulator;

/// <summary>Just enough of an MQTT 5 broker (OASIS MQTT 5.0, chapter 3) to acknowledge messages, and to fail in ways no real broker does on demand.</summary>
internal sealed class ScriptedBroker : IDisposable
{
    private readonly TcpListener listener = new(IPAddress.Loopback, 0);
    private readonly CancellationTokenSource stopping = new();
    private readonly Func<int, Mishap> mishaps;
    private readonly Task loop;
    private int seen;

    /// <param name="mishaps">What happens to the n-th message that arrives, from 1, over all connections.</param>
    public ScriptedBroker(Func<int, Mishap> mishaps)
    {
        this.mishaps = mishaps;
        listener.Start();
        loop = AcceptAsync();
    }

    public enum Mishap
    {
        None,
        DropUnread,
        DropUnacknowledged,
        Refuse,
    }

    public int Port => ((IPEndPoint)listener.LocalEndpoint).Port;

    public List<(string Topic, string Payload)> Received { get; } = [];

    public int Connections { get; private set; }

    public void Dispose()
    {
        stopping.Cancel();
        listener.Stop();
        loop.Wait(TimeSpan.FromSeconds(5));
        stopping.Dispose();
    }

    private async Task AcceptAsync()
    {
        try
        {
            while (true)
            {
                using var client = await listener.AcceptTcpClientAsync(stopping.Token);
                Connections++;
                await ServeAsync(client.GetStream());
            }
        }
        catch (Exception end) when (end is OperationCanceledException or SocketException or InvalidOperationException)
        {
            // The test is over. A listener that was stopped while a client was served says that it is not listening (InvalidOperationException).
        }
    }

    private async Task ServeAsync(NetworkStream stream)
    {
        try
        {
            while (true)
            {
                var (type, body) = await ReadPacketAsync(stream);
                switch (type >> 4)
                {
                    case 1: // CONNECT: acknowledged with a Receive Maximum (0x21) of 20, as brokers commonly set
                        Assert.Equal(5, body[6]);
                        await stream.WriteAsync(new byte[] { 0x20, 6, 0, 0, 3, 0x21, 0, 20 }, stopping.Token);
                        break;
                    case 3:
                        if (!await TakeAsync(stream, type, body))
                        {
                            return;
                        }

                        break;
                    case 12:
                        await stream.WriteAsync(new byte[] { 0xD0, 0 }, stopping.Token);
                        break;
                    case 14:
                        return;
                    default:
                        throw new IOException($"unexpected packet {type:x2}");
                }
            }
        }
        catch (Exception end) when (end is EndOfStreamException or IOException)
        {
            // The client went away.
        }
    }

    private async Task<bool> TakeAsync(NetworkStream stream, byte type, byte[] body)
    {
        Assert.Equal(1, (type >> 1) & 3); // quality of service 1
        var topicLength = BinaryPrimitives.ReadUInt16BigEndian(body);
        var id = body.AsSpan(2 + topicLength, 2).ToArray();
        var propertiesLength = body[4 + topicLength];
        var mishap = mishaps(++seen);
        if (mishap == Mishap.DropUnread)
        {
            return false;
        }

        if (mishap == Mishap.Refuse)
        {
            await stream.WriteAsync(new byte[] { 0x40, 4, id[0], id[1], 0x97, 0 }, stopping.Token); // quota exceeded
            return true;
        }

        Received.Add((Encoding.UTF8.GetString(body, 2, topicLength), Encoding.UTF8.GetString(body.AsSpan(5 + topicLength + propertiesLength))));
        if (mishap == Mishap.DropUnacknowledged)
        {
            return false;
        }

        await stream.WriteAsync(new byte[] { 0x40, 2, id[0], id[1] }, stopping.Token);
        return true;
    }

    private async Task<(byte Type, byte[] Body)> ReadPacketAsync(NetworkStream stream)
    {
        var one = new byte[1];
        await stream.ReadExactlyAsync(one, stopping.Token);
        var type = one[0];
        int length = 0, shift = 0;
        do
        {
            await stream.ReadExactlyAsync(one, stopping.Token);
            length |= (one[0] & 0x7F) << shift;
            shift += 7;
        }
        while ((one[0] & 0x80) != 0);
        var body = new byte[length];
        await stream.ReadExactlyAsync(body, stopping.Token);
        return (type, body);
    }
}
