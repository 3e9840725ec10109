using System.IO.Ports;
using System.Text;
using Acquire.Core.Control;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator.Driven;

/// <summary>A driven tester on a pseudo terminal, both directions at once.</summary>
public sealed class SerialDrivenTesterTests
{
    [Fact(Timeout = 30000)]
    public async Task It_says_what_it_obeys_and_counts_what_is_no_command()
    {
        using var bench = new Bench();

        bench.Say("\r\nhello\n");
        bench.Say(DriveText.ToLine(Command(3, 0.25)).Replace("0.2500", "0.9500", StringComparison.Ordinal));
        bench.Say(new string('D', 500) + "\n");
        bench.Say(DriveText.ToLine(Command(7, 0.375)));

        var fields = (await bench.LineAsync(line => line.EndsWith(",7,0.375", StringComparison.Ordinal), TestContext.Current.CancellationToken)).Split(',');
        // time_s, temperature_c, detector, flame, command, heater
        Assert.Equal(6, fields.Length);
        // One word, one wrong checksum, one endless line; an empty line is none.
        Assert.Equal(3, bench.Talk.Malformed);
        Assert.Equal((1, 0, 0), bench.Talk.Look(tester => tester.Commands));
    }

    [Fact(Timeout = 30000)]
    public async Task A_command_in_pieces_is_heard_and_an_old_one_is_not_taken()
    {
        using var bench = new Bench();
        var line = DriveText.ToLine(Command(9, 0.5));

        bench.Say(line[..5]);
        await Task.Delay(TimeSpan.FromMilliseconds(50), TimeProvider.System, TestContext.Current.CancellationToken);
        bench.Say(line[5..] + DriveText.ToLine(Command(8, 1)));

        await bench.LineAsync(said => said.EndsWith(",9,0.5", StringComparison.Ordinal), TestContext.Current.CancellationToken);
        Assert.Equal((1, 1, 0), bench.Talk.Look(tester => tester.Commands));
    }

    [Fact(Timeout = 30000)]
    public async Task When_the_lifetime_is_over_the_acknowledgement_is_empty_and_the_heater_off()
    {
        using var bench = new Bench();

        bench.Say(DriveText.ToLine(Command(1, 0.5, lifetime: 300)));
        await bench.LineAsync(said => said.EndsWith(",1,0.5", StringComparison.Ordinal), TestContext.Current.CancellationToken);

        await bench.LineAsync(said => said.EndsWith(",,0", StringComparison.Ordinal), TestContext.Current.CancellationToken);
    }

    private static DriveCommand Command(long sequence, double heater, int lifetime = 10_000) => new(sequence, lifetime, heater, false, false);

    private sealed class Bench : IDisposable
    {
        private readonly PseudoTerminal terminal;
        private readonly SerialPort port;
        private readonly CancellationTokenSource stop = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        private readonly StreamReader heard;

        public Bench()
        {
            Assert.SkipUnless(PseudoTerminal.TryOpen(out var opened, out var reason), reason ?? "");
            terminal = opened!;
            port = new SerialPort(terminal.SlavePath, 115_200);
            port.Open();
            heard = new(port.BaseStream, Encoding.ASCII);
            Talk = new(new DrivenTester(DrivenSpecimens.Of("iso-2592-2017", 220)), 1, TimeProvider.System);
            _ = SerialDrivenTester.OnPseudoTerminal(terminal, TimeProvider.System).RunAsync(Talk, stop.Token);
        }

        public DrivenTalk Talk { get; }

        public void Say(string text) => port.Write(text);

        public async Task<string> LineAsync(Func<string, bool> wanted, CancellationToken cancellationToken)
        {
            while (true)
            {
                if (await heard.ReadLineAsync(cancellationToken) is { } line && wanted(line))
                {
                    return line;
                }
            }
        }

        public void Dispose()
        {
            stop.Cancel();
            port.Dispose();
            terminal.Dispose();
            stop.Dispose();
        }
    }
}
