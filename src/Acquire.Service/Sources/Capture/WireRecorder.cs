using System.Globalization;

namespace Acquire.Service.Sources.Capture;

/// <summary>Writes what goes over a wire into a file as it happens. Called by the reader of the port: it only fills a buffer; <see cref="Flush"/> is for somebody else.</summary>
public sealed class WireRecorder : IDisposable
{
    private readonly Lock _lock = new();
    private readonly TextWriter _writer;
    private readonly TimeProvider _time;
    private readonly long _begun;
    private readonly Action<Exception> _failed;
    private bool _broken;

    /// <param name="writer">Where the records go; closed with the recorder.</param>
    /// <param name="time">Clock.</param>
    /// <param name="description">The port in a few words, kept as a comment.</param>
    /// <param name="failed">Told once where writing fails; nothing is written after it.</param>
    public WireRecorder(TextWriter writer, TimeProvider time, string description, Action<Exception> failed)
    {
        ArgumentNullException.ThrowIfNull(writer);
        ArgumentNullException.ThrowIfNull(time);
        (_writer, _time, _begun, _failed) = (writer, time, time.GetTimestamp(), failed);
        Write(() =>
        {
            _writer.Write(WireRecord.Header + "\n");
            _writer.Write(string.Create(CultureInfo.InvariantCulture, $"# begun {time.GetUtcNow():yyyy-MM-ddTHH:mm:ss.fffZ}\n# {Configuration.JsonText.Shown(description)}\n"));
        });
    }

    /// <summary>Bytes that came.</summary>
    public long BytesIn { get; private set; }

    /// <summary>Bytes that were sent.</summary>
    public long BytesOut { get; private set; }

    /// <summary>Listens to a port for this file.</summary>
    public WireTap Tap => new()
    {
        Opened = () => Add(WireEvent.Opened, default),
        Fault = cause => Add(WireEvent.Lost, WireRecord.Cause(cause)),
        Received = bytes => Add(WireEvent.In, bytes),
        Message = (topic, payload) => Add(WireEvent.Message, WireRecord.Message(topic, payload.Span)),
        Sent = bytes => Add(WireEvent.Out, bytes),
    };

    /// <summary>Writes what waits to the disk.</summary>
    public void Flush() => Write(_writer.Flush);

    /// <inheritdoc/>
    public void Dispose() => Write(_writer.Dispose);

    private void Add(WireEvent what, ReadOnlyMemory<byte> bytes) => Write(() =>
    {
        var at = (long)_time.GetElapsedTime(_begun).TotalMicroseconds;
        foreach (var record in WireRecord.Of(at, what, bytes))
        {
            _writer.Write(record.ToLine() + "\n");
        }

        BytesIn += what is WireEvent.In or WireEvent.Message ? bytes.Length : 0;
        BytesOut += what == WireEvent.Out ? bytes.Length : 0;
    });

    private void Write(Action action)
    {
        Exception fault;
        lock (_lock)
        {
            if (_broken)
            {
                return;
            }

            try
            {
                action();
                return;
            }
            catch (Exception exception) when (exception is IOException or ObjectDisposedException)
            {
                (_broken, fault) = (true, exception);
            }
        }

        _failed(fault);
    }
}
