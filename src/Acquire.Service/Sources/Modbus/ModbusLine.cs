using System.Collections.Concurrent;
using Acquire.Service.Live;

namespace Acquire.Service.Sources.Modbus;

/// <summary>Owns one wire for as long as the service runs: opens it, polls every tester on it one after the other, opens it again when it was lost.</summary>
internal sealed partial class ModbusLine
{
    // Short, so that a tester is back within two seconds of the end of its trouble.
    private const double LongestPauseSeconds = 0.7;

    // So long a change of the testers may wait for the poll before it.
    private static readonly TimeSpan LongestStep = TimeSpan.FromSeconds(0.5);

    private readonly ModbusLink _link;
    private readonly ConcurrentQueue<Action> _changes = new();
    private readonly List<PolledTester> _testers;
    private (PolledTester Tester, TesterPoll Poll)[] _polls;
    private bool _isOpen;
    private readonly TimeProvider _time;
    private readonly ILogger _logger;
    private readonly Backoff _backoff = new(Random.Shared, LongestPauseSeconds);
    private string? _statedFault;

    /// <param name="link">The wire.</param>
    /// <param name="testers">Who is on it.</param>
    /// <param name="time">Clock for waits.</param>
    /// <param name="logger">Log.</param>
    public ModbusLine(ModbusLink link, IReadOnlyList<PolledTester> testers, TimeProvider time, ILogger logger)
    {
        _link = link;
        _testers = [.. testers];
        _polls = [.. testers.SelectMany(tester => tester.Polls.Select(poll => (tester, poll)))];
        _time = time;
        _logger = logger;
    }

    /// <summary>Polls one more tester from now on; the others go on as they were.</summary>
    public void Add(PolledTester tester) => _changes.Enqueue(() =>
    {
        _testers.Add(tester);
        if (_isOpen)
        {
            tester.Opened();
        }
        else
        {
            tester.SetConnection(ConnectionState.Connecting, _statedFault ?? $"opening {_link.Name}");
        }
    });

    /// <summary>Polls a tester no longer; the others go on as they were.</summary>
    public void Remove(string id) => _changes.Enqueue(() => _testers.RemoveAll(tester => tester.Id == id));

    /// <summary>Polls until cancelled. Whatever the wire does is stated on the inboxes and tried again.</summary>
    public async Task RunAsync(CancellationToken cancellationToken)
    {
        foreach (var tester in _testers)
        {
            tester.SetConnection(ConnectionState.Connecting, $"opening {_link.Name}");
        }

        while (!cancellationToken.IsCancellationRequested)
        {
            Change();
            try
            {
                StateFault(await UseAsync(cancellationToken));
                await Task.Delay(_backoff.Next(), _time, cancellationToken);
                CountMissed();
            }
            catch (OperationCanceledException) when (cancellationToken.IsCancellationRequested)
            {
                break;
            }
        }

        foreach (var tester in _testers)
        {
            tester.SetConnection(ConnectionState.Down, "the service is stopping");
        }
    }

    /// <returns>Why the wire could not be opened or was lost.</returns>
    private async Task<string> UseAsync(CancellationToken cancellationToken)
    {
        var open = false;
        try
        {
            await _link.OpenAsync(cancellationToken);
            open = _isOpen = true;
            Log.Opened(_logger, _link.Name, _testers.Count);
            foreach (var tester in _testers)
            {
                tester.Tap?.Opened?.Invoke();
                tester.Opened();
            }

            while (true)
            {
                Change();
                await PollAsync(cancellationToken);
            }
        }
        catch (OperationCanceledException) when (cancellationToken.IsCancellationRequested)
        {
            throw;
        }
#pragma warning disable CA1031 // Drivers and networks throw whatever they like; the wire is given up and opened anew, other wires go on.
        catch (Exception exception)
#pragma warning restore CA1031
        {
            return _link.Explain(exception, open);
        }
        finally
        {
            _isOpen = false;
            _link.Close();
            CountMissed();
        }
    }

    private async Task PollAsync(CancellationToken cancellationToken)
    {
        if (_polls.Length == 0)
        {
            await Task.Delay(LongestStep, _time, cancellationToken);
            return;
        }

        var (tester, poll) = _polls.MinBy(due => due.Poll.Timer.Left);
        if (poll.Timer.Left is var left && left > TimeSpan.Zero)
        {
            await Task.Delay(Waits.WholeMilliseconds(left < LongestStep ? left : LongestStep), _time, cancellationToken);
            return;
        }

        if (tester.IsHeldUp)
        {
            tester.Advance(poll, answered: false);
            return;
        }

        var wasDown = poll.Fault is not null;
        var sentSeconds = tester.NowSeconds;
        _link.Tap = tester.Tap;
        var exchange = await _link.AskAsync(poll.Plan.Request, tester.Timeout, cancellationToken);
        var brought = tester.Take(poll, exchange, sentSeconds, cancellationToken);
        if (exchange is Exchange.Silence or Exchange.Nonsense)
        {
            Rest(poll, tester.Timeout);
            if (poll.Fault is { } fault && !wasDown)
            {
                Log.TesterFault(_logger, tester.Id, fault);
            }
        }
        else
        {
            _backoff.Reset();
            _statedFault = null;
        }

        tester.Advance(poll, brought);
    }

    // Only the loop itself touches the testers: what comes from outside waits for it.
    private void Change()
    {
        var changed = false;
        while (_changes.TryDequeue(out var change))
        {
            change();
            changed = true;
        }

        if (changed)
        {
            _polls = [.. _testers.SelectMany(tester => tester.Polls.Select(poll => (tester, poll)))];
        }
    }

    // What holds for one request to a unit holds for all of them: a unit that is off would cost the others its timeout every time.
    private void Rest(TesterPoll silent, TimeSpan timeout)
    {
        var rest = _link.RestAfterSilence(timeout);
        if (silent.Fault is not null && rest < TesterPoll.RestWhenDown)
        {
            rest = TesterPoll.RestWhenDown;
        }

        foreach (var (_, poll) in _polls)
        {
            if (poll.Plan.Request.UnitId == silent.Plan.Request.UnitId)
            {
                poll.Timer.Rest(rest);
            }
        }
    }

    private void CountMissed()
    {
        foreach (var tester in _testers)
        {
            tester.CountMissed();
        }
    }

    private void StateFault(string fault)
    {
        foreach (var tester in _testers)
        {
            tester.SetConnection(ConnectionState.Down, fault);
        }

        if (fault != _statedFault)
        {
            foreach (var tester in _testers)
            {
                tester.Tap?.Fault?.Invoke(fault);
            }

            Log.Fault(_logger, fault);
            _statedFault = fault;
        }
    }

    private static partial class Log
    {
        [LoggerMessage(2400, LogLevel.Information, "{Wire} is open; testers on it: {Testers}")]
        public static partial void Opened(ILogger logger, string wire, int testers);

        [LoggerMessage(2401, LogLevel.Warning, "{Fault}")]
        public static partial void Fault(ILogger logger, string fault);

        [LoggerMessage(2403, LogLevel.Warning, "Tester {Tester}: {Fault}")]
        public static partial void TesterFault(ILogger logger, string tester, string fault);
    }
}
