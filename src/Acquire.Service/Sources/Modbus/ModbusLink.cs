using Acquire.Service.Configuration;

namespace Acquire.Service.Sources.Modbus;

/// <summary>A wire to units: opened, asked, given up after its first fault and opened anew. One request at a time.</summary>
internal abstract partial class ModbusLink : IDisposable
{
    /// <summary>The link for a wire.</summary>
    public static ModbusLink To(ModbusWire wire, TimeProvider time, ILoggerFactory loggers) => wire switch
    {
        ModbusWire.Rtu rtu => new RtuLink(rtu.Settings, time, exception => Log.CloseFailed(loggers.CreateLogger<ModbusLink>(), exception, rtu.Name)),
        ModbusWire.Tcp tcp => new TcpLink(tcp, time),
        _ => throw new ArgumentOutOfRangeException(nameof(wire), wire, "is no wire that is known"),
    };

    /// <summary>Listens to what is sent and received for the tester that is asked; null where nobody does.</summary>
    public WireTap? Tap { get; set; }

    /// <summary>Port or host, as in the configuration.</summary>
    public abstract string Name { get; }

    /// <summary>How long a unit must be left alone after it was silent, so that its late answer is not taken for that to the next request.</summary>
    /// <param name="timeout">How long its answer was waited for.</param>
    public abstract TimeSpan RestAfterSilence(TimeSpan timeout);

    /// <summary>Opens the wire. Throws what the system throws.</summary>
    public abstract Task OpenAsync(CancellationToken cancellationToken);

    /// <summary>Sends a request and waits for its answer.</summary>
    /// <param name="request">The request.</param>
    /// <param name="timeout">How long the unit may think.</param>
    /// <param name="cancellationToken">Ends the wait.</param>
    /// <exception cref="IOException">The wire is lost; other faults of the system come as they are.</exception>
    public abstract Task<Exchange> AskAsync(ReadRequest request, TimeSpan timeout, CancellationToken cancellationToken);

    /// <summary>Gives the wire up, and waits for nothing.</summary>
    public abstract void Close();

    /// <inheritdoc/>
    public void Dispose() => Close();

    /// <summary>Says why the wire could not be opened, or was lost, and what to do.</summary>
    /// <param name="exception">What was thrown.</param>
    /// <param name="wasOpen">Whether it had been opened.</param>
    public abstract string Explain(Exception exception, bool wasOpen);

    /// <summary>A read whose bytes are told to whoever listens.</summary>
    protected Func<Memory<byte>, CancellationToken, ValueTask<int>> Tapped(Func<Memory<byte>, CancellationToken, ValueTask<int>> readAsync) => async (bytes, cancellationToken) =>
    {
        var count = await readAsync(bytes, cancellationToken).ConfigureAwait(false);
        if (count > 0)
        {
            Tap?.Received?.Invoke(bytes[..count]);
        }

        return count;
    };

    private static partial class Log
    {
        [LoggerMessage(2402, LogLevel.Warning, "Closing {Port} failed")]
        public static partial void CloseFailed(ILogger logger, Exception exception, string port);
    }
}
