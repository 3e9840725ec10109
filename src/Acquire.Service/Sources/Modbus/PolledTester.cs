using System.Globalization;
using System.Text;
using Acquire.Core;
using Acquire.Service.Configuration;
using Acquire.Service.Lanes;
using Acquire.Service.Live;

namespace Acquire.Service.Sources.Modbus;

/// <summary>One tester on a wire: its polls, and what becomes of their answers in its inbox.</summary>
internal sealed class PolledTester
{
    private readonly LaneInbox _inbox;
    private readonly string _wire;
    private Task _handingOver = Task.CompletedTask;

    /// <param name="config">Values, period, timeout.</param>
    /// <param name="inbox">Where rows, refusals and the state of the connection go.</param>
    /// <param name="time">Clock.</param>
    /// <param name="tap">Listens to what is asked and answered; null where nobody does.</param>
    public PolledTester(SourceConfig.Modbus config, LaneInbox inbox, TimeProvider time, WireTap? tap = null)
    {
        Tap = tap;
        var (begun, period) = (time.GetTimestamp(), TimeSpan.FromMilliseconds(config.PeriodMilliseconds));
        (_inbox, _wire) = (inbox, config.Wire.Name);
        Timeout = TimeSpan.FromMilliseconds(config.TimeoutMilliseconds);
        Polls = [.. PollPlan.Make(config).Select(plan => new TesterPoll(plan, new(time, begun, period)))];
    }

    /// <summary>Id of the tester.</summary>
    public string Id => _inbox.TesterId;

    /// <summary>Listens to what is asked and answered; null where nobody does.</summary>
    public WireTap? Tap { get; }

    /// <summary>How long a unit may think.</summary>
    public TimeSpan Timeout { get; }

    /// <summary>Its requests.</summary>
    public IReadOnlyList<TesterPoll> Polls { get; }

    /// <summary>Whether its queue is full and a row still waits: nothing is asked for it then, and its polls count as missed.</summary>
    public bool IsHeldUp => !_handingOver.IsCompleted;

    /// <summary>Seconds on the axis that its rows are stamped with.</summary>
    public double NowSeconds => _inbox.ArrivalSeconds;

    /// <summary>The wire was opened.</summary>
    public void Opened()
    {
        foreach (var poll in Polls)
        {
            poll.Reopened();
        }

        // A tester that was down stays down until it answers: an open wire is no reading.
        if (_inbox.Connection.State != ConnectionState.Down)
        {
            _inbox.SetConnection(ConnectionState.Connecting, $"{_wire} is open; the tester has not answered yet");
        }
    }

    /// <summary>States that the wire is not open yet, or any more.</summary>
    public void SetConnection(ConnectionState state, string text) => _inbox.SetConnection(state, text);

    /// <summary>Counts all polls that are behind, because nothing could be asked.</summary>
    public void CountMissed()
    {
        foreach (var poll in Polls)
        {
            _inbox.Miss(poll.Timer.Advance());
        }
    }

    /// <summary>Counts the polls of one request that are behind.</summary>
    /// <param name="poll">One of <see cref="Polls"/>.</param>
    /// <param name="answered">Whether the one that was due brought a reading.</param>
    public void Advance(TesterPoll poll, bool answered) => _inbox.Miss(Math.Max(0, poll.Timer.Advance() - (answered ? 1 : 0)));

    /// <summary>Takes what became of a request.</summary>
    /// <param name="poll">One of <see cref="Polls"/>.</param>
    /// <param name="exchange">What became of it.</param>
    /// <param name="sentSeconds">When it was sent, s on the axis of the inbox.</param>
    /// <param name="cancellationToken">Ends the handing over.</param>
    /// <returns>Whether it brought a reading.</returns>
    public bool Take(TesterPoll poll, Exchange exchange, double sentSeconds, CancellationToken cancellationToken)
    {
        // Half-way between request and answer: the value was taken somewhere between.
        var atSeconds = (sentSeconds + _inbox.ArrivalSeconds) / 2;
        if (exchange.ForeignBytes > 0)
        {
            Refuse(poll, string.Create(CultureInfo.InvariantCulture, $"{exchange.ForeignBytes} bytes that belong to no answer: noise, or another master on the line. The answer itself was read"));
        }

        var brought = false;
        switch (exchange)
        {
            case Exchange.Registers registers:
                poll.Succeed();
                brought = HandOver(poll, registers.Data.Span, atSeconds, cancellationToken);
                break;
            case Exchange.Refused refused:
                poll.Succeed();
                Refuse(poll, ExceptionNames.Of(refused.Code) + Advice(poll, refused.Code));
                break;
            case Exchange.Nonsense nonsense:
                poll.Fail(_wire, nonsense.What);
                Refuse(poll, nonsense.What);
                break;
            default:
                poll.Fail(_wire, null);
                break;
        }

        StateConnection();
        return brought;
    }

    private bool HandOver(TesterPoll poll, ReadOnlySpan<byte> data, double atSeconds, CancellationToken cancellationToken)
    {
        var draft = default(RowDraft);
        var text = Tap?.Line is null ? [] : Encoding.ASCII.GetBytes(Convert.ToHexString(data));
        AnswerDecoder.Decode(poll.Plan, data, ref draft, error =>
        {
            Tap?.Line?.Invoke(new(text, null, error));
            _inbox.Refuse(new InputError($"{_wire} {error.Path}", error.Message));
        });
        if (!draft.HasValue)
        {
            return false;
        }

        var row = draft.ToRow(atSeconds);
        Tap?.Line?.Invoke(new(text, row, null));
        var handing = _inbox.WriteAsync(row, cancellationToken);
        _handingOver = handing.IsCompletedSuccessfully ? Task.CompletedTask : handing.AsTask();
        return true;
    }

    private void StateConnection()
    {
        if (Polls.Select(poll => poll.Fault).FirstOrDefault(fault => fault is not null) is { } fault)
        {
            _inbox.SetConnection(ConnectionState.Down, fault);
        }
        else if (Polls.All(poll => poll is { Answered: true, Failures: 0 }))
        {
            _inbox.SetConnection(ConnectionState.Up, $"{_wire} answers");
        }
    }

    private void Refuse(TesterPoll poll, string message)
    {
        var error = new InputError(poll.Place(_wire), message);
        Tap?.Line?.Invoke(new(default, null, error));
        _inbox.Refuse(error);
    }

    private static string Advice(TesterPoll poll, byte code)
    {
        var wanted = poll.Plan.Values.Sum(value => value.Registers);
        return code != ExceptionNames.IllegalDataAddress ? ""
            : wanted < poll.Plan.Request.Count ? ": the unit has not all of these registers; those between the ones that are wanted are read along, set largestGap to 0"
            : ": the unit has not all of these registers; check table and address";
    }
}
