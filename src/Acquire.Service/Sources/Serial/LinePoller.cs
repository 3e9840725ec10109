using System.Globalization;
using Acquire.Core;
using Acquire.Service.Configuration;
using Acquire.Service.Lanes;
using Acquire.Service.Live;

namespace Acquire.Service.Sources.Serial;

/// <summary>Asks one tester for lines, one command after the other, for as long as the service runs; its beat goes on while the port is away.</summary>
internal sealed class LinePoller
{
    private readonly SourceConfig.Serial _config;
    private readonly LaneInbox _inbox;
    private readonly TimeProvider _time;
    private readonly WireTap? _tap;
    private readonly TimeSpan _timeout;
    private readonly PolledCommand[] _commands;

    /// <param name="config">A source that is polled.</param>
    /// <param name="inbox">Where rows, refusals, missed polls and the state of the connection go.</param>
    /// <param name="time">Clock.</param>
    /// <param name="tap">Told each line; null where nobody listens.</param>
    public LinePoller(SourceConfig.Serial config, LaneInbox inbox, TimeProvider time, WireTap? tap)
    {
        var poll = config.Poll!;
        var (begun, period) = (time.GetTimestamp(), TimeSpan.FromMilliseconds(poll.PeriodMilliseconds));
        (_config, _inbox, _time, _tap) = (config, inbox, time, tap);
        _timeout = TimeSpan.FromMilliseconds(poll.TimeoutMilliseconds);
        _commands = [.. poll.Commands.Select(command => new PolledCommand(command, new(config, command.Layout), new(time, begun, period)))];
    }

    /// <summary>Polls until the port is lost, which throws, or until cancelled.</summary>
    /// <param name="port">The open port.</param>
    /// <param name="gotLine">Told after each answer: the port is of use.</param>
    /// <param name="cancellationToken">Ends it.</param>
    public async Task RunAsync(OpenPort port, Action gotLine, CancellationToken cancellationToken)
    {
        using var filling = CancellationTokenSource.CreateLinkedTokenSource(cancellationToken);
        var exchange = new LineExchange(port, _config, _time, filling.Token);
        foreach (var command in _commands)
        {
            command.Reopened();
        }

        try
        {
            while (true)
            {
                var due = _commands.MinBy(command => command.Timer.Due)!;
                if (due.Timer.Left is var left && left > TimeSpan.Zero)
                {
                    await Task.Delay(Waits.WholeMilliseconds(left), _time, cancellationToken);
                    continue;
                }

                await PollAsync(due, exchange, gotLine, cancellationToken);
            }
        }
        finally
        {
            await filling.CancelAsync();
        }
    }

    /// <summary>Counts all polls that are behind, because nothing could be asked.</summary>
    public void CountMissed()
    {
        foreach (var command in _commands)
        {
            _inbox.Miss(command.Timer.Advance());
        }
    }

    private async Task PollAsync(PolledCommand command, LineExchange exchange, Action gotLine, CancellationToken cancellationToken)
    {
        var sentSeconds = _inbox.ArrivalSeconds;
        var answer = await exchange.AskAsync(command.Config.Send, _timeout, cancellationToken);

        // Half-way between command and answer: the tester took its value somewhere between.
        var atSeconds = (sentSeconds + _inbox.ArrivalSeconds) / 2;
        if (answer.ForeignBytes > 0)
        {
            Refuse(command, "line", string.Create(CultureInfo.InvariantCulture, $"{answer.ForeignBytes} bytes that nobody asked for: noise, or a tester that sends by itself"));
        }

        var brought = false;
        if (answer.Line is { } line)
        {
            brought = await TakeAsync(command, line, atSeconds, cancellationToken);
            gotLine();
        }
        else
        {
            Fail(command, answer.Fragment);
        }

        StateConnection();
        _inbox.Miss(Math.Max(0, command.Timer.Advance() - (brought ? 1 : 0)));
    }

    private async ValueTask<bool> TakeAsync(PolledCommand command, ReadOnlyMemory<byte> line, double atSeconds, CancellationToken cancellationToken)
    {
        if (!command.Decoder.TryDecode(line.Span, atSeconds, out var row, out var error))
        {
            // A line came, so the tester is there; what it says is another matter.
            command.Succeed();
            _tap?.Line?.Invoke(new(line, null, error));
            Refuse(command, error.Path, error.Message);
            return false;
        }

        command.Succeed();
        _tap?.Line?.Invoke(new(line, row, null));
        await _inbox.WriteAsync(row, cancellationToken);
        return true;
    }

    private void Fail(PolledCommand command, ReadOnlyMemory<byte>? fragment)
    {
        if (fragment is { } piece)
        {
            var error = new InputError("line", $"given \"{NumberText.Shown(piece.Span)}\" without a line end in time; allowed: a line that ends as lineEnd says");
            _tap?.Line?.Invoke(new(piece, null, error));
            Refuse(command, error.Path, error.Message);
        }

        command.Fail($"{_config.Port} does not answer \"{command.Shown}\": check the tester's power, its cable, and source.poll{(fragment is null ? "" : " and source.lineEnd")}");

        // An answer carries nothing that tells which command it belongs to: its latest moment is waited for, as Modbus does on such a line.
        foreach (var other in _commands)
        {
            other.Timer.Rest(command.Fault is null || _timeout > PolledCommand.RestWhenDown ? _timeout : PolledCommand.RestWhenDown);
        }
    }

    private void StateConnection()
    {
        if (Array.Find(_commands, command => command.Fault is not null)?.Fault is { } fault)
        {
            _inbox.SetConnection(ConnectionState.Down, fault);
        }
        else if (Array.TrueForAll(_commands, command => command.Answered))
        {
            _inbox.SetConnection(ConnectionState.Up, $"{_config.Port} answers");
        }
    }

    private void Refuse(PolledCommand command, string place, string message) =>
        _inbox.Refuse(new InputError($"{_config.Port} answer to \"{command.Shown}\"{(place == "line" ? "" : ", " + place)}", message));
}
