using System.Globalization;
using System.Text;
using Acquire.Service.Configuration;
using Acquire.Service.Lanes;
using Acquire.Service.Live;
using Acquire.Service.Sources;
using Acquire.Service.Sources.Serial;
using Acquire.Service.Tests.Sources.Modbus;
using Microsoft.Extensions.Logging.Abstractions;
using Xunit;

namespace Acquire.Service.Tests.Sources.Serial;

/// <summary>Faults of a serial line, each as docs/devices.md lists it.</summary>
public sealed class SerialFaultTests : IAsyncLifetime
{
    private const string Checked = "\"baudRate\": 115200, \"checksum\": { \"kind\": \"crc16-modbus\", \"mark\": \"*\" }";

    private readonly PtyPair _pair = new();
    private readonly CancellationTokenSource _stop = new();
    private readonly LaneInbox _inbox = SourceSamples.Inbox();
    private Task _running = Task.CompletedTask;
    private Task _speaking = Task.CompletedTask;

    public ValueTask InitializeAsync()
    {
        PtyPair.SkipWithoutSocat();
        return ValueTask.CompletedTask;
    }

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        await _running;
        await _speaking.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        _pair.Dispose();
        _stop.Dispose();
    }

    [Fact(Timeout = 30000)]
    public async Task Port_that_comes_late_and_an_adapter_that_is_pulled_out_are_read_within_two_seconds_of_being_plugged_in()
    {
        Start();
        _speaking = SpeakAsync();
        await SourceSamples.Until(() => _inbox.Connection.State == ConnectionState.Down, "the missing port", TestContext.Current.CancellationToken);
        Assert.Equal($"{_pair.Port} is not there: plug the tester in and switch it on", _inbox.Connection.Text);
        await SourceSamples.Pause(3, TestContext.Current.CancellationToken);
        await _pair.PlugInAsync(TestContext.Current.CancellationToken);
        Assert.InRange(await BackAsync(), 0, PolledBench.PromptSeconds);

        _pair.Unplug();
        await SourceSamples.Until(() => _inbox.Connection.State == ConnectionState.Down, "the loss", TestContext.Current.CancellationToken);
        await SourceSamples.Pause(3, TestContext.Current.CancellationToken);
        await _pair.PlugInAsync(TestContext.Current.CancellationToken);
        Assert.InRange(await BackAsync(), 0, PolledBench.PromptSeconds);

        Assert.Equal((1, 0), (_inbox.ConnectionsLost, _inbox.Counters.Malformed));
        var times = SourceSamples.Drain(_inbox).ConvertAll(row => row.AtSeconds);
        Assert.Equal(times.Order(), times);
    }

    [Fact(Timeout = 30000)]
    public async Task Tester_that_closes_its_end_and_comes_back_is_read_with_its_first_whole_line()
    {
        await StartOnQuietWireAsync();
        _pair.Send("1,100,0.5,0\n");
        await SourceSamples.Until(() => _inbox.Counters.Rows == 1, "the row before", TestContext.Current.CancellationToken);

        _pair.LetGo();
        await SourceSamples.Pause(1, TestContext.Current.CancellationToken);
        _pair.TakeUp();
        _pair.Send("2,101,0.5,0\n");

        Assert.InRange(await BackAsync(rows: 1), 0, PolledBench.PromptSeconds);
        Assert.Equal([1.0, 2.0], SourceSamples.Drain(_inbox).Select(row => row.AtSeconds));
    }

    [Fact(Timeout = 30000)]
    public async Task Silence_shows_in_the_age_of_the_newest_reading_and_the_next_line_is_read_at_once()
    {
        await StartOnQuietWireAsync();
        _pair.Send("1,100,0.5,0\n");
        await SourceSamples.Until(() => _inbox.Counters.Rows == 1, "the row before", TestContext.Current.CancellationToken);

        await SourceSamples.Pause(1.5, TestContext.Current.CancellationToken);
        Assert.InRange(_inbox.SecondsSinceReading!.Value, 1.4, 10);
        Assert.Equal(ConnectionState.Up, _inbox.Connection.State);
        _pair.Send("2,101,0.5,0\n");

        Assert.InRange(await BackAsync(rows: 1), 0, PolledBench.PromptSeconds);
        Assert.Equal(0, _inbox.Counters.Malformed);
    }

    [Fact(Timeout = 30000)]
    public async Task Noise_between_and_within_lines_with_a_checksum_costs_the_lines_it_hits_and_makes_no_row()
    {
        await StartOnQuietWireAsync(Checked);
        var (random, whole) = (new Random(20261126), 0);
        for (var i = 0; i < 400; i++)
        {
            var line = Line(i);
            var kind = random.Next(4);
            if (kind == 1)
            {
                // Noise right before a line is a part of it.
                var noise = new byte[random.Next(1, 60)];
                random.NextBytes(noise);
                line = [.. noise, .. line];
            }
            else if (kind == 2)
            {
                line[random.Next(line.Length - 1)] ^= (byte)(1 << random.Next(8));
            }
            else
            {
                whole++;
            }

            // A new line begins in any case, as the next one of a tester does.
            _pair.Send([(byte)'\n', .. line]);
        }

        await EndOfTestAsync(TestContext.Current.CancellationToken);
        var rows = SourceSamples.Drain(_inbox);
        Assert.All(rows.SkipLast(1), row => Assert.Equal(Celsius((int)row.AtSeconds), row.TemperatureCelsius));
        Assert.InRange(rows.Count - 1, whole, whole + 40);
        Assert.InRange(_inbox.Counters.Malformed, 100, 2000);
        Assert.Equal(rows.Select(row => row.AtSeconds).Order(), rows.Select(row => row.AtSeconds));
    }

    [Fact(Timeout = 30000)]
    public async Task Bytes_lost_in_an_overrun_cost_the_lines_they_were_in_and_never_join_two_lines_into_one_with_a_checksum()
    {
        await StartOnQuietWireAsync(Checked);
        var random = new Random(20261127);
        var stream = Enumerable.Range(0, 1000).SelectMany(Line).ToArray();
        var (at, lost, kept) = (0, 0, new List<byte>());
        while (at < stream.Length)
        {
            var length = Math.Min(random.Next(20, 400), stream.Length - at);
            kept.AddRange(stream.AsSpan(at, length));
            var drop = random.Next(1, 80);
            (at, lost) = (at + length + drop, lost + 1);
        }

        kept.Add((byte)'\n');
        await Task.Run(() => _pair.Send(kept.ToArray()), TestContext.Current.CancellationToken);
        await EndOfTestAsync(TestContext.Current.CancellationToken);

        var rows = SourceSamples.Drain(_inbox);
        Assert.All(rows.SkipLast(1), row => Assert.Equal(Celsius((int)row.AtSeconds), row.TemperatureCelsius));
        Assert.InRange(rows.Count, 1000 - (5 * lost), 1000);
        Assert.InRange(_inbox.Counters.Malformed, lost / 2, 2 * lost);
    }

    [Fact(Timeout = 30000)]
    public async Task Wrong_checksum_is_told_with_port_and_line_and_the_next_line_is_read()
    {
        await StartOnQuietWireAsync(Checked);

        _pair.Send("1,100,0.5,0*0000\n");
        await SourceSamples.Until(() => _inbox.Counters.Malformed == 1, "the refusal", TestContext.Current.CancellationToken);
        Assert.Matches($"^{_pair.Port} line 1: checksum 0000 where the line gives [0-9A-F]{{4}}: bytes were lost or changed on the wire$", _inbox.LastRefusal);
        _pair.Send(Line(7));

        Assert.InRange(await BackAsync(rows: 0), 0, PolledBench.PromptSeconds);
    }

    [Fact(Timeout = 30000)]
    public async Task Stream_without_a_line_end_is_told_once_takes_no_memory_and_the_next_line_is_read()
    {
        await StartOnQuietWireAsync();
        var flood = new byte[1 << 20];
        flood.AsSpan().Fill((byte)'x');
        await Task.Run(() => _pair.Send(flood), TestContext.Current.CancellationToken);
        await SourceSamples.Until(() => _inbox.Counters.Malformed == 1, "the refusal", TestContext.Current.CancellationToken);
        Assert.Equal($"{_pair.Port} line 1: more than 1024 bytes without a line end; allowed: up to 1024. Check baudRate and lineEnd", _inbox.LastRefusal);

        _pair.Send("\n2,101,0.5,0\n");

        Assert.InRange(await BackAsync(rows: 0), 0, PolledBench.PromptSeconds);
        Assert.Equal(1, _inbox.Counters.Malformed);

        // The same bytes through what holds them, on this thread alone: what other tests hold does not count.
        var intake = new LineIntake(SourceSamples.Serial(_pair.Port));
        var before = GC.GetAllocatedBytesForCurrentThread();
        for (var left = flood.Length; left > 0;)
        {
            var count = Math.Min(left, intake.Free.Length);
            flood.AsMemory(0, count).CopyTo(intake.Free);
            intake.Written(count, TimeSpan.MaxValue);
            left -= count;
            while (intake.Take(out _) != FrameKind.None)
            {
            }
        }

        Assert.InRange(GC.GetAllocatedBytesForCurrentThread() - before, 0, 65_536);
    }

    [Fact(Timeout = 30000)]
    public async Task Control_line_that_an_adapter_does_not_have_is_told_with_its_key()
    {
        await _pair.PlugInAsync(TestContext.Current.CancellationToken);
        Start("\"dtr\": true");

        await SourceSamples.Until(() => _inbox.Connection.State == ConnectionState.Down, "the refusal", TestContext.Current.CancellationToken);

        Assert.Equal($"{_pair.Port} has no such control line: leave out source.dtr", _inbox.Connection.Text);
    }

    [Fact(Timeout = 30000)]
    public async Task Tester_that_is_pulled_out_costs_another_on_its_own_port_nothing()
    {
        using var other = new PtyPair();
        await _pair.PlugInAsync(TestContext.Current.CancellationToken);
        await other.PlugInAsync(TestContext.Current.CancellationToken);
        var config = SourceSamples.Config($$"""
            { "testers": [ { "id": "a", "source": { "kind": "serial", "port": "{{_pair.Port}}", {{SourceSamples.FullColumns}} } }, { "id": "b", "source": { "kind": "serial", "port": "{{other.Port}}", {{SourceSamples.FullColumns}} } } ] }
            """);
        var inboxes = config.Testers.ToDictionary(tester => tester.Id, tester => new LaneInbox(tester.Id, tester.QueueCapacity, TimeProvider.System));
        using var host = new SourceHost(config, inboxes, TimeProvider.System, NullLoggerFactory.Instance);
        await host.StartAsync(TestContext.Current.CancellationToken);
        await SourceSamples.Until(() => inboxes.Values.All(inbox => inbox.Connection.State == ConnectionState.Up), "both ports", TestContext.Current.CancellationToken);
        await SourceSamples.Pause(0.2, TestContext.Current.CancellationToken);

        for (var i = 0; i < 40; i++)
        {
            if (i == 10)
            {
                _pair.Unplug();
            }

            other.Send($"{i},100,0.5,0\n");
            await SourceSamples.Pause(0.05, TestContext.Current.CancellationToken);
        }

        await SourceSamples.Until(() => inboxes["b"].Counters.Rows == 40, "every row of the other", TestContext.Current.CancellationToken);
        Assert.Equal(ConnectionState.Up, inboxes["b"].Connection.State);
        Assert.NotEqual(ConnectionState.Up, inboxes["a"].Connection.State);
        await host.StopAsync(TestContext.Current.CancellationToken);
    }

    private static double Celsius(int second) => 100 + (second % 97);

    private static byte[] Line(int second)
    {
        var text = Encoding.ASCII.GetBytes(string.Create(CultureInfo.InvariantCulture, $"{second},{Celsius(second)},0.5,0"));
        return [.. text, .. Encoding.ASCII.GetBytes(string.Create(CultureInfo.InvariantCulture, $"*{LineChecksum.Compute(ChecksumKind.Crc16Modbus, text):X4}\n"))];
    }

    // The last line is sound: once it was read everything before it was taken too.
    private async Task EndOfTestAsync(CancellationToken cancellationToken)
    {
        const int Last = 99_999;
        _pair.Send([(byte)'\n', .. Line(Last)]);
        await SourceSamples.Until(() => _inbox.LastRefusal is not null && _inbox.Counters.Rows > 0 && SeenLast(), "the last line", cancellationToken);

        bool SeenLast()
        {
            // Nothing more comes: the counters stand still.
            var before = _inbox.Counters;
            return _inbox.SecondsSinceReading > 0.3 && before == _inbox.Counters;
        }
    }

    private async Task<double> BackAsync(long? rows = null)
    {
        var (start, before) = (TimeProvider.System.GetTimestamp(), rows ?? _inbox.Counters.Rows);
        await SourceSamples.Until(() => _inbox.Counters.Rows > before && _inbox.Connection.State == ConnectionState.Up, "the reading after the trouble", TestContext.Current.CancellationToken);
        var took = TimeProvider.System.GetElapsedTime(start).TotalSeconds;
        TestContext.Current.TestOutputHelper?.WriteLine(FormattableString.Invariant($"back after {took:0.00} s"));
        return took;
    }

    // A tester says its lines whether somebody listens or not.
    private async Task SpeakAsync()
    {
        for (var i = 0; !_stop.IsCancellationRequested; i++)
        {
            try
            {
                _pair.Send($"{i},100,0.5,0\n");
            }
            catch (Exception exception) when (exception is IOException or ObjectDisposedException)
            {
                // Pulled out.
            }

            await SourceSamples.Pause(0.05, _stop.Token);
        }
    }

    private async Task StartOnQuietWireAsync(string more = "\"baudRate\": 115200")
    {
        await _pair.PlugInAsync(TestContext.Current.CancellationToken);
        Start(more);
        await SourceSamples.Until(() => _inbox.Connection.State == ConnectionState.Up, "the open port", TestContext.Current.CancellationToken);
        await SourceSamples.Pause(0.2, TestContext.Current.CancellationToken);
    }

    private void Start(string more = "\"baudRate\": 115200") =>
        _running = new SerialSource(SourceSamples.Serial(_pair.Port, more), _inbox, TimeProvider.System, NullLogger<SerialSource>.Instance).RunAsync(_stop.Token);
}
