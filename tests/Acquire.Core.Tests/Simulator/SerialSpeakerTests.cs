using System.Diagnostics;
using System.IO.Ports;
using System.Text;
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
        var expected = rows.Select(row => FormattableString.Invariant($"{row.AtSeconds},{row.TemperatureCelsius},{row.Detector},{(row.FlameOver ? 1 : 0)}")).ToArray();
        using var port = new SerialPort(terminal.SlavePath, 115200);
        port.Open();

        var listening = ListenAsync(port.BaseStream, rows.Length, TestContext.Current.CancellationToken);
        await SerialSpeaker.OnPseudoTerminal(terminal, TimeProvider.System).SpeakAsync(rows, 60, TestContext.Current.CancellationToken);

        Assert.Equal(expected, await listening);
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
        var link = Path.Combine(Path.GetTempPath(), $"acquire-port-{Guid.NewGuid():n}");
        var troubles = new List<string>();
        var rows = new SimulatedRun(Specimens.BaseOil(34)).Take(200).ToArray();
        try
        {
            // The port is the listener's end of the terminal: what is written there is read at the other end, which here nobody needs to read.
            var speaking = SerialSpeaker.OnPort(link, 115200, TimeProvider.System, trouble =>
            {
                troubles.Add(trouble);
                if (troubles.Count == 2)
                {
                    File.CreateSymbolicLink(link, terminal.SlavePath);
                }
            }).SpeakAsync(rows, 60, TestContext.Current.CancellationToken);

            await speaking;
        }
        finally
        {
            File.Delete(link);
        }

        Assert.Equal(2, troubles.Count);
        Assert.Contains(link, troubles[0], StringComparison.Ordinal);
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

    private static async Task<string[]> ListenAsync(Stream port, int lines, CancellationToken cancellationToken)
    {
        var text = new StringBuilder();
        var buffer = new byte[4096];
        for (var ended = 0; ended < lines;)
        {
            var read = await port.ReadAsync(buffer, cancellationToken);
            ended += buffer.AsSpan(0, read).Count((byte)'\n');
            text.Append(Encoding.ASCII.GetString(buffer, 0, read));
        }

        return text.ToString().Split('\n', StringSplitOptions.RemoveEmptyEntries);
    }
}
