using System.Buffers.Binary;
using System.Globalization;
using System.Net;
using System.Net.Sockets;
using System.Text;

namespace Acquire.Benchmarks.Campaigns.Load;

/// <summary>One tester's connection to a broker. Writes MQTT 3.1.1 by itself, QoS 0, so that publishing costs next to nothing beside what is measured.</summary>
internal sealed class TesterWire : IDisposable
{
    private const int MostFrameBytes = 200;

    private readonly Socket _socket;
    private readonly byte[] _topic;
    private readonly byte[] _buffer = new byte[64 * 1024];
    private int _filled;

    private TesterWire(Socket socket, byte[] topic) => (_socket, _topic) = (socket, topic);

    /// <summary>Messages that were put in so far.</summary>
    public long Messages { get; private set; }

    /// <summary>Connects; throws <see cref="InvalidOperationException"/> where the broker refuses.</summary>
    public static TesterWire Connect(int port, string clientId, string topic)
    {
        var socket = new Socket(AddressFamily.InterNetwork, SocketType.Stream, ProtocolType.Tcp) { NoDelay = true };
        socket.Connect(new IPEndPoint(IPAddress.Loopback, port));
        var id = Encoding.ASCII.GetBytes(clientId);

        // MQTT 3.1.1, 3.1: name and level of the protocol, clean session, no keep-alive, client id.
        byte[] rest = [0, 4, .. "MQTT"u8, 4, 2, 0, 0, 0, (byte)id.Length, .. id];
        socket.Send([0x10, (byte)rest.Length, .. rest]);
        var answer = new byte[4];
        var read = 0;
        while (read < answer.Length && socket.Receive(answer, read, answer.Length - read, SocketFlags.None) is > 0 and var got)
        {
            read += got;
        }

        return answer is [0x20, 2, _, 0] ? new(socket, Encoding.ASCII.GetBytes(topic)) : throw new InvalidOperationException($"The broker at port {port} refused {clientId}: {Convert.ToHexString(answer)}.");
    }

    /// <summary>Puts one message in; it leaves with <see cref="Send"/>, or when the buffer is full.</summary>
    /// <param name="timeSeconds">The tester's own time, s.</param>
    /// <param name="reading">What it reads.</param>
    public void Add(double timeSeconds, in ScriptReading reading)
    {
        if (_buffer.Length - _filled < MostFrameBytes + _topic.Length)
        {
            Send();
        }

        var frame = _buffer.AsSpan(_filled);
        Span<byte> payload = stackalloc byte[MostFrameBytes];
        System.Text.Unicode.Utf8.TryWrite(payload, CultureInfo.InvariantCulture, $"{{\"time_s\":{timeSeconds:F6},\"temperature_c\":{reading.TemperatureCelsius:F2},\"detector\":{reading.Detector:F4},\"flame\":{(reading.FlameOver ? 1 : 0)}}}", out var length);
        var remaining = 2 + _topic.Length + length;
        frame[0] = 0x30;

        // The remaining length in groups of seven bits, the lowest first (MQTT 3.1.1, 2.2.3).
        var at = 1;
        for (; remaining > 127; remaining >>= 7)
        {
            frame[at++] = (byte)((remaining & 0x7F) | 0x80);
        }

        frame[at++] = (byte)remaining;
        BinaryPrimitives.WriteUInt16BigEndian(frame[at..], (ushort)_topic.Length);
        _topic.CopyTo(frame[(at + 2)..]);
        payload[..length].CopyTo(frame[(at + 2 + _topic.Length)..]);
        _filled += at + 2 + _topic.Length + length;
        Messages++;
    }

    /// <summary>Sends what was put in; waits while the broker takes nothing.</summary>
    public void Send()
    {
        for (var sent = 0; sent < _filled;)
        {
            sent += _socket.Send(_buffer.AsSpan(sent, _filled - sent));
        }

        _filled = 0;
    }

    /// <inheritdoc/>
    public void Dispose() => _socket.Dispose();
}
