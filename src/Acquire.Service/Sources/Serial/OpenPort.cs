using System.IO.Ports;
using Acquire.Service.Configuration;

namespace Acquire.Service.Sources.Serial;

/// <summary>One opening of a port. After its first fault it is given up: the library answers nothing sensible afterwards.</summary>
internal sealed class OpenPort
{
    // Without it a write to an unplugged port never ends and takes Dispose with it.
    private static readonly TimeSpan WriteTimeout = TimeSpan.FromSeconds(2);
    private static readonly TimeSpan PresenceCheck = TimeSpan.FromSeconds(1);

    private readonly SerialPort _serial;
    private readonly Stream _stream;
    private readonly TimeProvider _time;

    private readonly WireTap? _tap;

    private OpenPort(SerialPort serial, TimeProvider time, WireTap? tap) => (_serial, _stream, _time, _tap) = (serial, serial.BaseStream, time, tap);

    /// <summary>Opens the port; throws whatever the driver throws.</summary>
    /// <param name="config">The port.</param>
    /// <param name="time">Clock for waits.</param>
    /// <param name="tap">Listens to what goes over it; null where nobody does.</param>
    public static OpenPort Open(PortSettings config, TimeProvider time, WireTap? tap = null)
    {
        var serial = new SerialPort(config.Port, config.BaudRate, config.Parity, config.DataBits, config.StopBits)
        {
            Handshake = config.Handshake,
            WriteTimeout = (int)WriteTimeout.TotalMilliseconds,
        };
        try
        {
            serial.Open();
            SetLine(config.Dtr, "dtr", config.Port, on => serial.DtrEnable = on);
            SetLine(config.Rts, "rts", config.Port, on => serial.RtsEnable = on);
            return new(serial, time, tap);
        }
        catch
        {
            serial.Dispose();
            throw;
        }
    }

    /// <summary>Waits for bytes; 0 at the end of the stream.</summary>
    /// <remarks>
    /// The library ends a read neither on its timeout nor, on Windows, on the token, and after an unplug perhaps never:
    /// so the wait is ours, and a device that vanished ends it.
    /// </remarks>
    /// <exception cref="IOException">The device has vanished; other faults of the driver come as they are.</exception>
    public async ValueTask<int> ReadAsync(Memory<byte> free, CancellationToken cancellationToken)
    {
        var read = _stream.ReadAsync(free, cancellationToken);
        if (read.IsCompletedSuccessfully)
        {
            return Tapped(free, read.Result);
        }

        var pending = read.AsTask();
        while (true)
        {
            // Not by exception: bytes that come in the moment in which this wait ends would go with it, and the port would be taken for lost.
            await ((Task)pending).WaitAsync(PresenceCheck, _time, cancellationToken).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            if (pending.IsCompleted)
            {
                return Tapped(free, await pending);
            }

            if (cancellationToken.IsCancellationRequested)
            {
                Observe(pending);
                throw new OperationCanceledException(cancellationToken);
            }

            if (!PortDiagnosis.IsThere(_serial.PortName))
            {
                Observe(pending);
                throw new IOException("the device has vanished");
            }
        }
    }

    /// <summary>Bytes that were written and are not on the wire yet.</summary>
    public int BytesToWrite => _serial.BytesToWrite;

    /// <summary>Writes bytes; ends when the driver has taken them, which may be never.</summary>
    public ValueTask WriteAsync(ReadOnlyMemory<byte> bytes, CancellationToken cancellationToken)
    {
        _tap?.Sent?.Invoke(bytes);
        return _stream.WriteAsync(bytes, cancellationToken);
    }

    /// <summary>Closes the port where nobody waits for it: closing can hang in the driver.</summary>
    /// <param name="failed">Told where closing throws.</param>
    public void Abandon(Action<Exception> failed) => _ = Task.Run(
        () =>
        {
            try
            {
                _serial.Dispose();
            }
#pragma warning disable CA1031 // Nothing is left to be done with this port.
            catch (Exception exception)
#pragma warning restore CA1031
            {
                failed(exception);
            }
        },
        CancellationToken.None);

    private int Tapped(ReadOnlyMemory<byte> free, int count)
    {
        if (count > 0)
        {
            _tap?.Received?.Invoke(free[..count]);
        }

        return count;
    }

    // Set once the port is open: before, a port without such lines would refuse to open at all and not say why.
    private static void SetLine(bool? on, string key, string port, Action<bool> set)
    {
        if (on is not { } wanted)
        {
            return;
        }

        try
        {
            set(wanted);
        }
        catch (IOException exception)
        {
            throw new NotSupportedException($"{port} has no such control line: leave out source.{key}", exception);
        }
    }

    private static void Observe(Task abandoned) =>
        _ = abandoned.ContinueWith(task => _ = task.Exception, CancellationToken.None, TaskContinuationOptions.OnlyOnFaulted, TaskScheduler.Default);
}
