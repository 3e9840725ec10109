using Acquire.Service.Configuration;
using Acquire.Service.Sources.Serial;

namespace Acquire.Service.Sources.Modbus;

/// <summary>Units on a serial line.</summary>
/// <param name="settings">The port.</param>
/// <param name="time">Clock.</param>
/// <param name="closeFailed">Told where closing the port throws.</param>
internal sealed class RtuLink(PortSettings settings, TimeProvider time, Action<Exception> closeFailed) : ModbusLink
{
    private static readonly TimeSpan LongestWrite = TimeSpan.FromSeconds(1);

    // Units that hung answer everything at once when they go on; those requests were counted when they were given up.
    private static readonly TimeSpan LateAnswers = TimeSpan.FromSeconds(5);

    private readonly TimeSpan _silence = TimeSpan.FromSeconds(RtuFrames.SilenceSeconds(settings));
    private readonly byte[] _received = new byte[WireBuffer.Capacity];
    private OpenPort? _port;
    private WireBuffer? _wire;
    private CancellationTokenSource? _filling;
    private long _givenUpAt;

    /// <inheritdoc/>
    public override string Name => settings.Port;

    private bool MayComeLate => time.GetElapsedTime(_givenUpAt) < LateAnswers;

    /// <summary>As long again: an answer carries no number that tells which request it belongs to.</summary>
    public override TimeSpan RestAfterSilence(TimeSpan timeout) => timeout;

    /// <inheritdoc/>
    public override Task OpenAsync(CancellationToken cancellationToken)
    {
        _port = OpenPort.Open(settings, time);
        _wire = new(time);
        _filling = new();

        // What an adapter still holds from before it was opened is nobody's fault.
        _givenUpAt = time.GetTimestamp();
        _ = _wire.FillAsync(Tapped(_port.ReadAsync), _filling.Token);
        return Task.CompletedTask;
    }

    /// <inheritdoc/>
    public override async Task<Exchange> AskAsync(ReadRequest request, TimeSpan timeout, CancellationToken cancellationToken)
    {
        if (await QuietAsync(timeout, cancellationToken) is not { } strays)
        {
            return new Exchange.Nonsense("the line is never silent: something sends without being asked");
        }

        await SendAsync(request, cancellationToken);
        var sent = time.GetTimestamp();
        var limit = timeout + TimeSpan.FromSeconds(settings.SecondsFor(RtuFrames.CharactersOnWire(request)));
        while (true)
        {
            var changed = _wire!.Changed;
            var count = _wire.CopyTo(_received);
            if (RtuFrames.Find(_received.AsSpan(0, count), request) is { } answer)
            {
                return answer with { ForeignBytes = MayComeLate ? 0 : answer.ForeignBytes + strays };
            }

            var left = limit - time.GetElapsedTime(sent);
            if (left <= TimeSpan.Zero)
            {
                _givenUpAt = time.GetTimestamp();
                return RtuFrames.Explain(_received.AsSpan(0, count), request) is { } what ? new Exchange.Nonsense(what) : new Exchange.Silence();
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
        _port?.Abandon(closeFailed);
        (_filling, _port, _wire) = (null, null, null);
    }

    /// <inheritdoc/>
    public override string Explain(Exception exception, bool wasOpen)
    {
        var there = PortDiagnosis.IsThere(settings.Port);
        return wasOpen
            ? PortDiagnosis.ExplainLoss(settings.Port, there, (exception as IOException)?.InnerException ?? exception)
            : PortDiagnosis.ExplainOpen(settings.Port, there, exception);
    }

    // What comes while nothing was asked is a late answer or noise. A request goes out only after the silence that ends it.
    private async Task<int?> QuietAsync(TimeSpan limit, CancellationToken cancellationToken)
    {
        var begun = time.GetTimestamp();
        while (true)
        {
            var left = _silence - _wire!.Silence;
            if (left <= TimeSpan.Zero)
            {
                return _wire.Drop(WireBuffer.Capacity);
            }

            if (time.GetElapsedTime(begun) > limit)
            {
                return null;
            }

            await Task.Delay(Waits.WholeMilliseconds(left), time, cancellationToken);
        }
    }

    private async Task SendAsync(ReadRequest request, CancellationToken cancellationToken)
    {
        var frame = new byte[RtuFrames.RequestBytes];
        RtuFrames.Write(request, frame);
        Tap?.Sent?.Invoke(frame);
        try
        {
            await _port!.WriteAsync(frame, cancellationToken).AsTask().WaitAsync(LongestWrite, time, cancellationToken);
        }
        catch (TimeoutException exception)
        {
            throw new IOException("it takes no more bytes", exception);
        }
    }
}
