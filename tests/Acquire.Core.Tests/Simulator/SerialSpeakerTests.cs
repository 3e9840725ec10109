using System.Diagnostics;
using System.IO.Ports;
using System.Text;
using Acquire.Core.Readings;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator;

public sealed class SerialSpeakerTests
{
    [Fact(Timeout = 30000)]
    public async Task Every_row_comes_out_of_a_pseudo_terminal_as_a_line()
    {
        using var terminal = Terminal();
        var rows = new SimulatedRun(Specimens.BaseOil(31)).Skip(52_000).Take(3000).ToArray();
        using var port = new SerialPort(terminal.SlavePath, 115200);
        port.Open();

        var listening = ListenAsync(port.BaseStream, rows.Length, TestContext.Current.CancellationToken);
        await SerialSpeaker.OnPseudoTerminal(terminal, TimeProvider.System).SpeakAsync(rows, 60, TestContext.Current.CancellationToken);

        Assert.Equal(rows.Select(Line), await listening);
    }

    [Theory(Timeout = 30000)]
    [InlineData(true)]
    [InlineData(false)]
    public async Task A_second_detector_follows_the_first_and_leaves_its_place_empty_where_a_row_has_none(bool inFirstRow)
    {
        using var terminal = Terminal();
        var rows = new SimulatedRun(Specimens.BaseOil(31)).Take(100)
            .Select((row, i) => i % 10 == (inFirstRow ? 9 : 0) ? row : row with { Present = row.Present | RowChannels.SecondDetector, SecondDetector = 14.2 + (0.1 * i) }).ToArray();
        using var port = new SerialPort(terminal.SlavePath, 115200);
        port.Open();

        var listening = ListenAsync(port.BaseStream, rows.Length, TestContext.Current.CancellationToken);
        await SerialSpeaker.OnPseudoTerminal(terminal, TimeProvider.System, bench: inFirstRow ? RowChannels.None : RowChannels.SecondDetector).SpeakAsync(rows, 60, TestContext.Current.CancellationToken);

        Assert.Equal(
            rows.Select(row => FormattableString.Invariant($"{row.AtSeconds},{row.TemperatureCelsius},{row.Detector},{(row.Has(RowChannels.SecondDetector) ? row.SecondDetector : null)},{(row.FlameOver ? 1 : 0)}")),
            await listening);
    }

    [Fact(Timeout = 30000)]
    public async Task Lines_are_lost_doubled_and_out_of_order_on_the_wire_and_a_clock_that_jumps_does_not_hold_them_up()
    {
        using var terminal = Terminal();
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        var run = new SimulatedRun(Specimens.BaseOil(35) with
        {
            // At sixty times the pace an hour would be waited for far longer than this test may take.
            Disturbances = [new(DisturbanceKind.Dropped, 10), new(DisturbanceKind.Duplicated, 10), new(DisturbanceKind.Reordered, 10), new(DisturbanceKind.ClockJump, 3600, 20), new(DisturbanceKind.ClockJump, -3590, 40)],
        });
        using var port = new SerialPort(terminal.SlavePath, 115200);
        port.Open();

        var listening = ListenAsync(port.BaseStream, 3000, TestContext.Current.CancellationToken);
        var speaking = SerialSpeaker.OnPseudoTerminal(terminal, TimeProvider.System).SpeakAsync(run, 60, stop.Token);
        var heard = await listening;
        await stop.CancelAsync();

        Assert.Equal(run.Take(3000).Select(Line), heard.Take(3000));
        await Assert.ThrowsAnyAsync<OperationCanceledException>(() => speaking);
    }

    [Fact(Timeout = 30000)]
    public async Task A_line_that_nobody_reads_makes_the_speaker_wait_and_loses_nothing()
    {
        using var terminal = Terminal();
        var rows = new SimulatedRun(Specimens.BaseOil(32)).Take(12_000).Select((row, index) => row with { AtSeconds = index / 1000.0 }).ToArray();
        using var port = new SerialPort(terminal.SlavePath, 115200);
        port.Open();

        // 12 s of rows and far more text than a terminal holds (some 64 kB).
        var speaking = SerialSpeaker.OnPseudoTerminal(terminal, TimeProvider.System).SpeakAsync(rows, 60, TestContext.Current.CancellationToken);
        await Task.Delay(TimeSpan.FromSeconds(1), TimeProvider.System, TestContext.Current.CancellationToken);
        Assert.False(speaking.IsCompleted);

        Assert.Equal(rows.Length, (await ListenAsync(port.BaseStream, rows.Length, TestContext.Current.CancellationToken)).Distinct().Count());
        await speaking;
    }

    [Fact(Timeout = 30000)]
    public async Task Waiting_on_a_full_line_can_be_cancelled()
    {
        using var terminal = Terminal();
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        var rows = new SimulatedRun(Specimens.BaseOil(33)).Take(12_000).Select(row => row with { AtSeconds = 0 });
        var speaking = SerialSpeaker.OnPseudoTerminal(terminal, TimeProvider.System).SpeakAsync(rows, 1, stop.Token);

        stop.CancelAfter(500);

        await Assert.ThrowsAnyAsync<OperationCanceledException>(() => speaking);
    }

    [Fact(Timeout = 30000)]
    public async Task A_port_that_appears_late_gets_the_rows_from_the_first_on()
    {
        using var terminal = Terminal();
        using var link = new PortLink();
        var troubles = new List<string>();
        var rows = new SimulatedRun(Specimens.BaseOil(34)).Take(200).ToArray();
        var listening = ListenAsync(terminal.OpenTesterEnd(TimeProvider.System), rows.Length, TestContext.Current.CancellationToken);

        await SerialSpeaker.OnPort(link.Path, 115200, TimeProvider.System, trouble =>
        {
            troubles.Add(trouble);
            if (troubles.Count == 2)
            {
                link.PointTo(terminal);
            }
        }).SpeakAsync(rows, 60, TestContext.Current.CancellationToken);

        Assert.Equal(rows.Select(Line), await listening);
        Assert.Equal(2, troubles.Count);
        Assert.All(troubles, trouble => Assert.Contains(link.Path, trouble, StringComparison.Ordinal));
    }

    [Fact(Timeout = 30000)]
    public async Task A_port_that_is_unplugged_and_plugged_in_again_is_spoken_on_to_the_last_row()
    {
        using var first = Terminal();
        using var second = Terminal();
        using var link = new PortLink();
        link.PointTo(first);
        var troubles = new List<string>();
        var rows = new SimulatedRun(Specimens.BaseOil(36)).Take(6000).ToArray();
        var before = ListenAsync(first.OpenTesterEnd(TimeProvider.System), 1000, TestContext.Current.CancellationToken);
        var speaking = SerialSpeaker.OnPort(link.Path, 115200, TimeProvider.System, trouble =>
        {
            troubles.Add(trouble);
            link.PointTo(second);
        }).SpeakAsync(rows, 60, TestContext.Current.CancellationToken);

        var early = await before;
        first.Dispose();
        var late = await ListenUntilAsync(second.OpenTesterEnd(TimeProvider.System), Line(rows[^1]), TestContext.Current.CancellationToken);
        await speaking;

        Assert.Equal(rows.Take(1000).Select(Line), early.Take(1000));
        // What the first port had taken and nobody had read went with it; from the first line on the second port there is no gap.
        Assert.Equal(rows.TakeLast(late.Length).Select(Line), late);
        Assert.True(late.Length > 1000);
        Assert.NotEmpty(troubles);
    }

    [Fact(Timeout = 30000)]
    public async Task Rows_are_paced_by_their_own_time_and_the_speed()
    {
        using var terminal = Terminal();
        var rows = new SimulatedRun(Specimens.BaseOil(35)).Skip(5000).TakeWhile(row => row.AtSeconds <= 120).ToArray();
        using var port = new SerialPort(terminal.SlavePath, 115200);
        port.Open();
        var listening = ListenAsync(port.BaseStream, rows.Length, TestContext.Current.CancellationToken);
        var watch = Stopwatch.StartNew();

        await SerialSpeaker.OnPseudoTerminal(terminal, TimeProvider.System).SpeakAsync(rows, 20, TestContext.Current.CancellationToken);

        // 20 s of rows at twenty times the speed; the upper end leaves room for a busy machine.
        Assert.InRange(watch.Elapsed.TotalSeconds, 0.98, 4);
        await listening;
    }

    [Theory]
    [InlineData(0.5)]
    [InlineData(61)]
    [InlineData(double.NaN)]
    public async Task A_speed_out_of_range_is_refused(double speed)
    {
        var error = Assert.Single(SpeakingSpeed.Check("speed", speed));
        Assert.Equal("speed", error.Path);
        Assert.EndsWith("is not within 1 to 60", error.Message, StringComparison.Ordinal);
        await Assert.ThrowsAsync<ArgumentOutOfRangeException>(() =>
            SerialSpeaker.OnPort("nowhere", 9600, TimeProvider.System).SpeakAsync([], speed, TestContext.Current.CancellationToken));
    }

    private static PseudoTerminal Terminal()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "pseudo terminals are only available on Linux");
        return PseudoTerminal.TryOpen(out var terminal, out var reason) ? terminal : throw new InvalidOperationException(reason);
    }

    private static string Line(ReadingRow row) => FormattableString.Invariant($"{row.AtSeconds},{row.TemperatureCelsius},{row.Detector},{(row.FlameOver ? 1 : 0)}");

    private static Task<string[]> ListenAsync(Stream port, int lines, CancellationToken cancellationToken) =>
        ListenWhileAsync(port, text => text.Count(letter => letter == '\n') < lines, cancellationToken);

    private static Task<string[]> ListenUntilAsync(Stream port, string line, CancellationToken cancellationToken) =>
        ListenWhileAsync(port, text => !text.EndsWith(line + '\n', StringComparison.Ordinal), cancellationToken);

    private static async Task<string[]> ListenWhileAsync(Stream port, Predicate<string> more, CancellationToken cancellationToken)
    {
        var text = new StringBuilder();
        var buffer = new byte[4096];
        do
        {
            var read = await port.ReadAsync(buffer, cancellationToken);
            text.Append(Encoding.ASCII.GetString(buffer, 0, read));
        }
        while (more(text.ToString()));

        return text.ToString().Split('\n', StringSplitOptions.RemoveEmptyEntries);
    }

    /// <summary>A name for a port that may lead nowhere or change, as one in /dev/serial/by-id does.</summary>
    private sealed class PortLink : IDisposable
    {
        public string Path { get; } = System.IO.Path.Combine(System.IO.Path.GetTempPath(), $"acquire-port-{Guid.NewGuid():n}");

        public void PointTo(PseudoTerminal terminal)
        {
            File.Delete(Path);
            File.CreateSymbolicLink(Path, terminal.SlavePath);
        }

        public void Dispose() => File.Delete(Path);
    }
}
