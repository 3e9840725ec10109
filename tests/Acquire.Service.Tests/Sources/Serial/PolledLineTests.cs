using System.Globalization;
using Acquire.Core.Readings;
using Acquire.Service.Lanes;
using Acquire.Service.Live;
using Acquire.Service.Sources.Serial;
using Acquire.Service.Tests.Sources.Modbus;
using Microsoft.Extensions.Logging.Abstractions;
using Xunit;

namespace Acquire.Service.Tests.Sources.Serial;

/// <summary>A tester that is asked for its lines over two pseudo terminals, and answers as each test says.</summary>
public sealed class PolledLineTests : IAsyncLifetime
{
    private const string OneCommand = """
        "poll": { "periodMilliseconds": 100, "timeoutMilliseconds": 100, "commands": [ { "send": "READ\\n", "columns": [ { "channel": "temperature", "unit": "degC" }, { "channel": "detector" } ] } ] }
        """;

    private const string TwoCommands = """
        "lineEnd": "cr-lf", "poll": { "periodMilliseconds": 100, "timeoutMilliseconds": 100, "commands": [
          { "send": "T?\\n", "pattern": "T (?<t>.*)", "groups": [ { "group": "t", "channel": "temperature", "unit": "degC" } ] },
          { "send": "D?\\n", "columns": [ { "channel": "detector" } ] } ] }
        """;

    private readonly PtyPair _pair = new();
    private readonly CancellationTokenSource _stop = new();
    private readonly LaneInbox _inbox = SourceSamples.Inbox();
    private Task _running = Task.CompletedTask;
    private int _asked;

    public ValueTask InitializeAsync()
    {
        PtyPair.SkipWithoutSocat();
        return ValueTask.CompletedTask;
    }

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        await _running;
        _pair.Dispose();
        _stop.Dispose();
    }

    [Fact(Timeout = 30000)]
    public async Task Several_commands_are_sent_in_turn_and_each_answer_is_read_in_its_own_way()
    {
        var asked = new List<string>();
        await AnswerAsync(command =>
        {
            asked.Add(command);
            _pair.Send(command == "T?" ? "T?\r\n\r\nT 182.4\r\n" : "0.031\r\n");
        });
        Start(TwoCommands);

        await SourceSamples.Until(() => _inbox.Counters.Rows >= 10, "ten answers", TestContext.Current.CancellationToken);

        Assert.Equal(Enumerable.Range(0, 10).Select(i => i % 2 == 0 ? "T?" : "D?"), asked.Take(10));
        var rows = SourceSamples.Drain(_inbox);
        Assert.All(rows.Where((_, i) => i % 2 == 0), row => Assert.Equal((RowChannels.Temperature, 182.4), (row.Present, row.TemperatureCelsius)));
        Assert.All(rows.Where((_, i) => i % 2 == 1), row => Assert.Equal((RowChannels.Detector, 0.031), (row.Present, row.Detector)));
        Assert.Equal((0, 0, ConnectionState.Up, $"{_pair.Port} answers"), (_inbox.Counters.Malformed, _inbox.Counters.Missed, _inbox.Connection.State, _inbox.Connection.Text));
    }

    [Fact(Timeout = 30000)]
    public async Task Row_has_the_time_half_way_between_command_and_answer()
    {
        await AnswerAsync(async _ =>
        {
            await SourceSamples.Pause(0.06, CancellationToken.None);
            Answer();
        });
        var before = _inbox.ArrivalSeconds;
        Start(OneCommand.Replace("\"periodMilliseconds\": 100, \"timeoutMilliseconds\": 100", "\"periodMilliseconds\": 5000, \"timeoutMilliseconds\": 3000", StringComparison.Ordinal));

        await SourceSamples.Until(() => _inbox.Counters.Rows == 1, "the answer", TestContext.Current.CancellationToken);

        var (row, seen) = (Assert.Single(SourceSamples.Drain(_inbox)), _inbox.ArrivalSeconds);
        Assert.InRange(row.AtSeconds, before + 0.03, seen - 0.03);
    }

    [Fact(Timeout = 30000)]
    public async Task Answer_that_stays_away_is_missed_and_a_late_one_is_never_taken_for_the_next()
    {
        await AnswerAsync(async number =>
        {
            if (_asked % 3 == 0)
            {
                await SourceSamples.Pause(0.15, CancellationToken.None);
                _pair.Send("999,9\n");
                return;
            }

            Answer();
        });
        Start(OneCommand);

        await SourceSamples.Until(() => _inbox.Counters is { Rows: >= 10, Missed: >= 5 }, "answers and missed polls", TestContext.Current.CancellationToken);

        Assert.All(SourceSamples.Drain(_inbox), row => Assert.Equal(182.4, row.TemperatureCelsius));
        Assert.Equal((0, ConnectionState.Up), (_inbox.Counters.Malformed, _inbox.Connection.State));
    }

    [Fact(Timeout = 30000)]
    public async Task Garbage_a_fragment_and_bytes_that_nobody_asked_for_are_refused_with_the_command_and_missed()
    {
        await AnswerAsync(_ =>
        {
            switch (_asked % 4)
            {
                case 1:
                    _pair.Send("182.4,\u0007\n");
                    break;
                case 2:
                    _pair.Send("182.4,0.0");
                    break;
                default:
                    Answer();
                    break;
            }
        });
        Start(OneCommand);
        var told = new HashSet<string>();

        await SourceSamples.Until(
            () => told.Add(_inbox.LastRefusal ?? "") | (_inbox.Counters is { Rows: >= 6, Malformed: >= 4, Missed: >= 4 }) && _inbox.Counters is { Rows: >= 6, Malformed: >= 4, Missed: >= 4 },
            "answers and refusals",
            TestContext.Current.CancellationToken);

        Assert.Contains($"{_pair.Port} answer to \"READ\\n\": byte 0x07 at position 7; allowed: printable ASCII (0x20 to 0x7E) and tabs", told);
        Assert.Contains($"{_pair.Port} answer to \"READ\\n\": given \"182.4,0.0\" without a line end in time; allowed: a line that ends as lineEnd says", told);
        Assert.All(SourceSamples.Drain(_inbox), row => Assert.Equal((182.4, 0.031), (row.TemperatureCelsius, row.Detector)));
    }

    [Fact(Timeout = 30000)]
    public async Task Tester_that_goes_silent_is_down_and_read_within_two_seconds_once_it_answers()
    {
        var silent = false;
        await AnswerAsync(_ =>
        {
            if (!Volatile.Read(ref silent))
            {
                Answer();
            }
        });
        Start(OneCommand);
        await SourceSamples.Until(() => _inbox.Connection.State == ConnectionState.Up, "the first answer", TestContext.Current.CancellationToken);

        Volatile.Write(ref silent, true);
        await SourceSamples.Until(() => _inbox.Connection.State == ConnectionState.Down, "the silence", TestContext.Current.CancellationToken);
        Assert.Equal($"{_pair.Port} does not answer \"READ\\n\": check the tester's power, its cable, and source.poll", _inbox.Connection.Text);
        await SourceSamples.Pause(1, TestContext.Current.CancellationToken);
        Volatile.Write(ref silent, false);

        Assert.InRange(await BackAsync(), 0, PolledBench.PromptSeconds);
        Assert.InRange(_inbox.Counters.Missed, 8, 60);
    }

    [Fact(Timeout = 30000)]
    public async Task Port_that_comes_late_and_is_unplugged_is_read_within_two_seconds_and_its_polls_are_missed()
    {
        Start(OneCommand);
        await SourceSamples.Until(() => _inbox.Connection.State == ConnectionState.Down, "the missing port", TestContext.Current.CancellationToken);
        Assert.Equal($"{_pair.Port} is not there: plug the tester in and switch it on", _inbox.Connection.Text);
        await AnswerAsync(_ => Answer());
        Assert.InRange(await BackAsync(), 0, PolledBench.PromptSeconds);

        var missed = _inbox.Counters.Missed;
        _pair.Unplug();
        await SourceSamples.Until(() => _inbox.Connection.State == ConnectionState.Down, "the loss", TestContext.Current.CancellationToken);
        await SourceSamples.Pause(1, TestContext.Current.CancellationToken);
        await AnswerAsync(_ => Answer());
        Assert.InRange(await BackAsync(), 0, PolledBench.PromptSeconds);

        Assert.InRange(_inbox.Counters.Missed - missed, 8, 60);
        Assert.Equal(1, _inbox.ConnectionsLost);
    }

    private void Answer() => _pair.Send(string.Create(CultureInfo.InvariantCulture, $"{182.4},{0.031}\r\n"));

    private async Task<double> BackAsync()
    {
        var (start, rows) = (TimeProvider.System.GetTimestamp(), _inbox.Counters.Rows);
        await SourceSamples.Until(() => _inbox.Counters.Rows > rows, "the reading after the trouble", TestContext.Current.CancellationToken);
        var took = TimeProvider.System.GetElapsedTime(start).TotalSeconds;
        await SourceSamples.Until(() => _inbox.Connection.State == ConnectionState.Up, "the connection after the trouble", TestContext.Current.CancellationToken);
        TestContext.Current.TestOutputHelper?.WriteLine(FormattableString.Invariant($"back after {took:0.00} s, {_inbox.Counters.Missed} polls missed"));
        return took;
    }

    private Task AnswerAsync(Func<string, Task> answer) => AnswerAsync(command => { answer(command).GetAwaiter().GetResult(); });

    private async Task AnswerAsync(Action<string> answer)
    {
        await _pair.PlugInAsync(TestContext.Current.CancellationToken);
        _pair.Listen(command =>
        {
            _asked++;
            answer(command);
        });
    }

    private void Start(string source) => _running = new SerialSource(
        SourceSamples.Serial(_pair.Port, columns: source), _inbox, TimeProvider.System, NullLogger<SerialSource>.Instance).RunAsync(_stop.Token);
}
