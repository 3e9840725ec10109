using System.Globalization;
using Acquire.Core;
using Acquire.Service.Configuration;
using Acquire.Service.Lanes;
using Acquire.Service.Lanes.Driving;
using Acquire.Service.Live;

namespace Acquire.Service.Sources.Serial;

/// <summary>Owns one serial port for as long as the service runs: opens it, reads lines or asks for them, opens it again when it was lost.</summary>
public sealed partial class SerialSource
{
    // Short, so that a tester is back within two seconds of the end of its trouble.
    private const double LongestPauseSeconds = 0.7;

    private static readonly TimeSpan LongestWrite = TimeSpan.FromMilliseconds(300);

    private readonly SourceConfig.Serial _config;
    private readonly LineDecoder? _decoder;
    private readonly LinePoller? _poller;
    private readonly WireTap? _tap;
    private readonly LaneInbox _inbox;
    private readonly TimeProvider _time;
    private readonly ILogger _logger;
    private readonly DriveOutlet? _outlet;
    private readonly Backoff _backoff = new(Random.Shared, LongestPauseSeconds);
    private long _lineNumber;
    private string? _statedFault;

    /// <param name="config">The port and its columns.</param>
    /// <param name="inbox">Where rows, refusals and the state of the connection go.</param>
    /// <param name="time">Clock for waits.</param>
    /// <param name="logger">Log.</param>
    /// <param name="outlet">Where the commands for a driven tester come from; null where it is not driven.</param>
    /// <param name="tap">Listens to the port; null where nobody does.</param>
    public SerialSource(SourceConfig.Serial config, LaneInbox inbox, TimeProvider time, ILogger<SerialSource> logger, DriveOutlet? outlet = null, WireTap? tap = null)
    {
        ArgumentNullException.ThrowIfNull(config);
        _config = config;
        _tap = tap;
        _decoder = config.Layout is { } layout ? new(config, layout) : null;
        _poller = config.Poll is null ? null : new(config, inbox, time, tap);
        _inbox = inbox;
        _time = time;
        _logger = logger;
        _outlet = outlet;
    }

    /// <summary>Reads until cancelled. Never throws: whatever a driver does is stated on the inbox and tried again.</summary>
    public async Task RunAsync(CancellationToken cancellationToken)
    {
        while (!cancellationToken.IsCancellationRequested)
        {
            if (_poller is null || _statedFault is null)
            {
                _inbox.SetConnection(ConnectionState.Connecting, _statedFault ?? $"opening {_config.Port}");
            }

            try
            {
                StateFault(await ReadPortAsync(cancellationToken));
                await Task.Delay(_backoff.Next(), _time, cancellationToken);
                _poller?.CountMissed();
            }
            catch (OperationCanceledException) when (cancellationToken.IsCancellationRequested)
            {
                break;
            }
        }

        _inbox.SetConnection(ConnectionState.Down, "the service is stopping");
    }

    /// <returns>Why the port could not be opened or was lost.</returns>
    private async Task<string> ReadPortAsync(CancellationToken cancellationToken)
    {
        var port = _config.Port;
        OpenPort? open = null;
        try
        {
            open = OpenPort.Open(_config.Settings, _time, _tap);
            _statedFault = null;
            StateOpen();
            Log.Opened(_logger, _inbox.TesterId, port);
            await WorkAsync(open, cancellationToken);
            return PortDiagnosis.ExplainLoss(port, PortDiagnosis.IsThere(port), null);
        }
        catch (OperationCanceledException) when (cancellationToken.IsCancellationRequested)
        {
            throw;
        }
#pragma warning disable CA1031 // Drivers throw whatever they like; the port is given up and opened anew, other testers go on.
        catch (Exception exception)
#pragma warning restore CA1031
        {
            var there = PortDiagnosis.IsThere(port);
            return open is not null ? PortDiagnosis.ExplainLoss(port, there, exception) : PortDiagnosis.ExplainOpen(port, there, exception);
        }
        finally
        {
            _poller?.CountMissed();
            open?.Abandon(exception => Log.CloseFailed(_logger, exception, _inbox.TesterId, port));
        }
    }

    // An open port is no reading: a tester that is asked is up when it answers.
    private void StateOpen()
    {
        _tap?.Opened?.Invoke();
        if (_poller is null)
        {
            _inbox.SetConnection(ConnectionState.Up, $"{_config.Port} is open");
        }
        else if (_inbox.Connection.State != ConnectionState.Down)
        {
            _inbox.SetConnection(ConnectionState.Connecting, $"{_config.Port} is open; the tester has not answered yet");
        }
    }

    // The writer ends with the reader, which alone finds out that a port is lost. When the service ends, heater off goes out before the port closes.
    private async Task WorkAsync(OpenPort port, CancellationToken cancellationToken)
    {
        if (_poller is not null)
        {
            await _poller.RunAsync(port, _backoff.Reset, cancellationToken);
            return;
        }

        if (_outlet is null)
        {
            await ReadLinesAsync(port, cancellationToken);
            return;
        }

        var writer = new PortWriter(port, _outlet, _inbox.TesterId, _time, _logger);
        using var ending = CancellationTokenSource.CreateLinkedTokenSource(cancellationToken);
        var writing = Task.Run(() => writer.RunAsync(ending.Token), CancellationToken.None);
        try
        {
            await ReadLinesAsync(port, cancellationToken);
        }
        finally
        {
            // A write that does not end is left behind with its port.
            await ending.CancelAsync();
            await writing.WaitAsync(LongestWrite, _time, CancellationToken.None).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            if (cancellationToken.IsCancellationRequested)
            {
                await writer.EndAsync();
            }
        }
    }

    private async Task ReadLinesAsync(OpenPort port, CancellationToken cancellationToken)
    {
        var intake = new LineIntake(_config);
        var opened = _time.GetTimestamp();
        while (true)
        {
            var count = await port.ReadAsync(intake.Free, cancellationToken);
            if (count == 0)
            {
                return;
            }

            intake.Written(count, _time.GetElapsedTime(opened));
            _backoff.Reset();
            FrameKind kind;
            while ((kind = intake.Take(out var line)) != FrameKind.None)
            {
                await HandOverAsync(kind, line, cancellationToken);
            }
        }
    }

    private async ValueTask HandOverAsync(FrameKind kind, ReadOnlyMemory<byte> line, CancellationToken cancellationToken)
    {
        if (kind == FrameKind.Line && line.Length == 0)
        {
            return;
        }

        _lineNumber++;
        if (kind == FrameKind.TooLong)
        {
            var tooLong = new InputError("line", $"more than {LineFramer.LongestLineBytes} bytes without a line end; allowed: up to {LineFramer.LongestLineBytes}. Check baudRate and lineEnd");
            _tap?.Line?.Invoke(new(default, null, tooLong));
            _inbox.Refuse(tooLong with { Path = At(tooLong.Path) });
        }
        else if (_decoder is null)
        {
            _tap?.Line?.Invoke(new(line, null, null));
        }
        else if (_decoder.TryDecode(line.Span, _inbox.ArrivalSeconds, out var row, out var error))
        {
            _tap?.Line?.Invoke(new(line, row, null));
            await _inbox.WriteAsync(row, cancellationToken);
        }
        else
        {
            _tap?.Line?.Invoke(new(line, null, error));
            _inbox.Refuse(error with { Path = At(error.Path) });
        }
    }

    private string At(string place) => string.Create(CultureInfo.InvariantCulture, $"{_config.Port} line {_lineNumber}{(place == "line" ? "" : ", " + place)}");

    private void StateFault(string fault)
    {
        _inbox.SetConnection(ConnectionState.Down, fault);
        if (fault != _statedFault)
        {
            _tap?.Fault?.Invoke(fault);
            Log.Fault(_logger, _inbox.TesterId, fault);
            _statedFault = fault;
        }
    }

    private static partial class Log
    {
        [LoggerMessage(2000, LogLevel.Information, "Tester {Tester}: {Port} is open")]
        public static partial void Opened(ILogger logger, string tester, string port);

        [LoggerMessage(2001, LogLevel.Warning, "Tester {Tester}: {Fault}")]
        public static partial void Fault(ILogger logger, string tester, string fault);

        [LoggerMessage(2002, LogLevel.Warning, "Tester {Tester}: closing {Port} failed")]
        public static partial void CloseFailed(ILogger logger, Exception exception, string tester, string port);
    }
}
