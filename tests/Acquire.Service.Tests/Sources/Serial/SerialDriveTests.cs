using System.Collections.Concurrent;
using System.Text;
using Acquire.Core.Control;
using Acquire.Service.Lanes;
using Acquire.Service.Lanes.Driving;
using Acquire.Service.Live;
using Acquire.Service.Sources.Serial;
using Microsoft.Extensions.Logging.Abstractions;
using Xunit;

namespace Acquire.Service.Tests.Sources.Serial;

public sealed class SerialDriveTests : IAsyncLifetime
{
    private readonly PtyPair _pair = new();
    private readonly CancellationTokenSource _stop = new();
    private readonly LaneInbox _inbox = SourceSamples.Inbox();
    private readonly DriveOutlet _outlet = new(TimeProvider.System);
    private readonly ConcurrentQueue<string> _lines = [];
    private Task _running = Task.CompletedTask;

    public async ValueTask InitializeAsync()
    {
        PtyPair.SkipWithoutSocat();
        await _pair.PlugInAsync(TestContext.Current.CancellationToken);
        _running = new SerialSource(SourceSamples.Serial(_pair.Port), _inbox, TimeProvider.System, NullLogger<SerialSource>.Instance, _outlet).RunAsync(_stop.Token);
        await SourceSamples.Until(() => _inbox.Connection.State == ConnectionState.Up, "the open port", TestContext.Current.CancellationToken);
        await SourceSamples.Pause(0.2, TestContext.Current.CancellationToken);
    }

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        await _running;
        _pair.Dispose();
        _stop.Dispose();
    }

    private static DriveCommand Command(long sequence) => new(sequence, 1500, 0.375, false, true);

    private DriveCommand[] Commands() => [.. _lines.Select(line => DriveText.TryParseLine(Encoding.ASCII.GetBytes(line), out var command, out var error) ? command : throw new InvalidDataException($"{line}: {error}"))];

    [Fact(Timeout = 30000)]
    public async Task A_command_goes_out_to_the_letter_while_rows_come_in()
    {
        _pair.Listen(_lines.Enqueue);

        _outlet.Post(Command(1_790_000_000_000));
        _pair.Send("1.0,100.0,0.5,0\n");
        await SourceSamples.Until(() => _lines.Count == 1 && _inbox.Counters.Rows == 1, "the command and the row", TestContext.Current.CancellationToken);

        // Checksum: zlib.crc32 of Python 3.
        Assert.Equal("D,1790000000000,1500,0.3750,0,1,749F2190", Assert.Single(_lines));
    }

    [Fact(Timeout = 30000)]
    public async Task The_end_of_the_service_sends_off_three_times_before_the_port_closes()
    {
        _pair.Listen(_lines.Enqueue);
        _outlet.Post(Command(5));
        await SourceSamples.Until(() => _lines.Count == 1, "the command", TestContext.Current.CancellationToken);

        await _stop.CancelAsync();
        await _running.WaitAsync(TestContext.Current.CancellationToken);
        await SourceSamples.Until(() => _lines.Count == 4, "the last commands", TestContext.Current.CancellationToken);

        Assert.Equal([5, 6, 7, 8], Commands().Select(command => command.Sequence));
        Assert.All(Commands()[1..], command => Assert.True(command.IsSafe && !command.StirrerOn));
    }

    [Fact(Timeout = 30000)]
    public async Task A_wire_that_takes_nothing_holds_up_neither_rows_nor_posting_nor_the_end()
    {
        var token = TestContext.Current.CancellationToken;

        // Nobody reads at the far end: the buffers between fill up, and the write under way never ends.
        for (var sequence = 0; sequence < 4000; sequence++)
        {
            _outlet.Post(Command(sequence));
            await Task.Delay(TimeSpan.FromMilliseconds(sequence % 4 == 0 ? 1 : 0), TimeProvider.System, token);
        }

        _pair.Send("1.0,100.0,0.5,0\n2.0,100.1,0.5,0\n");
        await SourceSamples.Until(() => _inbox.Counters.Rows == 2, "the rows", token);
        var start = TimeProvider.System.GetTimestamp();
        await _stop.CancelAsync();
        await _running.WaitAsync(token);

        Assert.InRange(TimeProvider.System.GetElapsedTime(start).TotalSeconds, 0, 3);
    }

    [Fact(Timeout = 30000)]
    public async Task After_the_port_was_lost_commands_go_on_with_the_newest()
    {
        var token = TestContext.Current.CancellationToken;
        _pair.Listen(_lines.Enqueue);
        _outlet.Post(Command(1));
        await SourceSamples.Until(() => _lines.Count == 1, "the command before", token);
        _pair.Unplug();
        await SourceSamples.Until(() => _inbox.Connection.State == ConnectionState.Down, "the loss", token);
        _outlet.Post(Command(2));
        _outlet.Post(Command(3));

        await _pair.PlugInAsync(token);
        _pair.Listen(_lines.Enqueue);
        for (var sequence = 4; _lines.Count < 3; sequence++)
        {
            _outlet.Post(Command(sequence));
            await SourceSamples.Pause(0.1, token);
        }

        Assert.DoesNotContain(Commands(), command => command.Sequence == 2);
        Assert.Equal(Commands().OrderBy(command => command.Sequence), Commands());
    }
}
