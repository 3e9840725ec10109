using Acquire.Service.Lanes;
using Acquire.Service.Live;
using Acquire.Service.Sources.Serial;
using Microsoft.Extensions.Logging.Abstractions;
using Xunit;

namespace Acquire.Service.Tests.Sources.Serial;

public sealed class SerialSourceTests : IAsyncLifetime
{
    private readonly PtyPair _pair = new();
    private readonly CancellationTokenSource _stop = new();
    private readonly LaneInbox _inbox = SourceSamples.Inbox();
    private Task _running = Task.CompletedTask;

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
    public async Task Line_in_two_pieces_is_one_row()
    {
        await StartOnQuietWireAsync(TestContext.Current.CancellationToken);

        _pair.Send("1.0,100.0,0.5,0\r\n2.0,10");
        await SourceSamples.Until(() => _inbox.Counters.Rows == 1, "the first row", TestContext.Current.CancellationToken);
        await SourceSamples.Pause(0.2, TestContext.Current.CancellationToken);
        _pair.Send("1.5,0.5,1\n");
        await SourceSamples.Until(() => _inbox.Counters.Rows == 2, "the second row", TestContext.Current.CancellationToken);

        Assert.Equal([(1.0, 100.0), (2.0, 101.5)], SourceSamples.Drain(_inbox).Select(row => (row.AtSeconds, row.TemperatureCelsius)));
        Assert.Equal(0, _inbox.Counters.Malformed);
    }

    [Fact(Timeout = 30000)]
    public async Task Garbage_is_counted_with_port_and_line_and_the_next_line_is_read()
    {
        await StartOnQuietWireAsync(TestContext.Current.CancellationToken);

        _pair.Send("1.0,100.0,0.5,0\n");
        _pair.Send([0xFF, 0x80, 0x00, (byte)'\n']);
        await SourceSamples.Until(() => _inbox.Counters.Malformed == 1, "the refusal", TestContext.Current.CancellationToken);
        Assert.Equal($"{_pair.Port} line 2: byte 0xFF at position 1; allowed: printable ASCII (0x20 to 0x7E) and tabs", _inbox.LastRefusal);
        _pair.Send(new string('9', 5000) + "\n2.0,2000,0.5,0\n3.0,103.0,0.5,0\n");
        await SourceSamples.Until(() => _inbox.Counters.Rows == 2, "the row after the garbage", TestContext.Current.CancellationToken);

        Assert.Equal(3, _inbox.Counters.Malformed);
        Assert.Equal($"{_pair.Port} line 4, column 2 (temperature): given 2000 °C; allowed: -273.15 to 1500 °C", _inbox.LastRefusal);
        Assert.Equal([1.0, 3.0], SourceSamples.Drain(_inbox).Select(row => row.AtSeconds));
    }

    [Fact(Timeout = 30000)]
    public async Task Line_cut_by_opening_in_its_middle_is_neither_read_nor_counted()
    {
        await _pair.PlugInAsync(TestContext.Current.CancellationToken);
        _pair.Send("2.0,215.3,0.5,0\n3.0,215.4,0.5,0\n"u8[1..]);
        Start();

        await SourceSamples.Until(() => _inbox.Counters.Rows == 1, "the whole line", TestContext.Current.CancellationToken);

        Assert.Equal(3.0, Assert.Single(SourceSamples.Drain(_inbox)).AtSeconds);
        Assert.Equal(0, _inbox.Counters.Malformed);
    }

    [Fact(Timeout = 30000)]
    public async Task Port_that_is_not_there_is_waited_for()
    {
        Start();
        await SourceSamples.Until(() => _inbox.Connection.State == ConnectionState.Down, "the missing port", TestContext.Current.CancellationToken);
        Assert.Equal($"{_pair.Port} is not there: plug the tester in and switch it on", _inbox.Connection.Text);

        await _pair.PlugInAsync(TestContext.Current.CancellationToken);
        await SourceSamples.Until(() => _inbox.Connection.State == ConnectionState.Up, "the open port", TestContext.Current.CancellationToken);
        await SourceSamples.Pause(0.2, TestContext.Current.CancellationToken);
        _pair.Send("1.0,100.0,0.5,0\n");

        await SourceSamples.Until(() => _inbox.Counters.Rows == 1, "the row", TestContext.Current.CancellationToken);
    }

    [Fact(Timeout = 30000)]
    public async Task Unplugged_port_is_stated_and_opened_again()
    {
        await StartOnQuietWireAsync(TestContext.Current.CancellationToken);
        _pair.Send("1.0,100.0,0.5,0\n2.0,100.");
        await SourceSamples.Until(() => _inbox.Counters.Rows == 1, "the row before", TestContext.Current.CancellationToken);

        _pair.Unplug();
        await SourceSamples.Until(() => _inbox.Connection.State == ConnectionState.Down, "the loss", TestContext.Current.CancellationToken);
        Assert.Contains(_pair.Port, _inbox.Connection.Text, StringComparison.Ordinal);
        await SourceSamples.Until(() => _inbox.Connection.Text?.Contains("is not there", StringComparison.Ordinal) == true, "the diagnosis", TestContext.Current.CancellationToken);
        await _pair.PlugInAsync(TestContext.Current.CancellationToken);
        await SourceSamples.Until(() => _inbox.Connection.State == ConnectionState.Up, "the port again", TestContext.Current.CancellationToken);
        await SourceSamples.Pause(0.2, TestContext.Current.CancellationToken);
        _pair.Send("3.0,103.0,0.5,0\n");
        await SourceSamples.Until(() => _inbox.Counters.Rows == 2, "the row after", TestContext.Current.CancellationToken);

        Assert.Equal([1.0, 3.0], SourceSamples.Drain(_inbox).Select(row => row.AtSeconds));
        Assert.Equal(0, _inbox.Counters.Malformed);
    }

    [Fact(Timeout = 30000)]
    public async Task Cancelling_ends_the_source_within_two_seconds()
    {
        await StartOnQuietWireAsync(TestContext.Current.CancellationToken);
        var start = TimeProvider.System.GetTimestamp();

        await _stop.CancelAsync();
        await _running.WaitAsync(TestContext.Current.CancellationToken);

        Assert.InRange(TimeProvider.System.GetElapsedTime(start).TotalSeconds, 0, 2);
        Assert.Equal(ConnectionState.Down, _inbox.Connection.State);
    }

    [Fact(Timeout = 30000)]
    public async Task Full_inbox_holds_the_wire_back_and_loses_nothing()
    {
        const int Lines = 20_000;
        var small = SourceSamples.Inbox(16);
        await _pair.PlugInAsync(TestContext.Current.CancellationToken);
        _running = new SerialSource(SourceSamples.Serial(_pair.Port), small, TimeProvider.System, NullLogger<SerialSource>.Instance).RunAsync(_stop.Token);
        await SourceSamples.Until(() => small.Connection.State == ConnectionState.Up, "the open port", TestContext.Current.CancellationToken);
        await SourceSamples.Pause(0.2, TestContext.Current.CancellationToken);

        var sending = Task.Run(() => _pair.Send(string.Concat(Enumerable.Range(0, Lines).Select(i => $"{i},100,0.5,0\n"))), TestContext.Current.CancellationToken);
        await SourceSamples.Until(() => small.Counters.QueueFull > 0, "the full queue", TestContext.Current.CancellationToken);
        for (var i = 0; i < Lines; i++)
        {
            Assert.Equal(i, (await small.Rows.ReadAsync(TestContext.Current.CancellationToken)).AtSeconds);
        }

        await sending;
        Assert.Equal((Lines, 0), (small.Counters.Rows, small.Counters.Malformed));
    }

    private async Task StartOnQuietWireAsync(CancellationToken cancellationToken)
    {
        await _pair.PlugInAsync(cancellationToken);
        Start();
        await SourceSamples.Until(() => _inbox.Connection.State == ConnectionState.Up, "the open port", cancellationToken);
        await SourceSamples.Pause(0.2, cancellationToken);
    }

    private void Start() =>
        _running = new SerialSource(SourceSamples.Serial(_pair.Port), _inbox, TimeProvider.System, NullLogger<SerialSource>.Instance).RunAsync(_stop.Token);
}
