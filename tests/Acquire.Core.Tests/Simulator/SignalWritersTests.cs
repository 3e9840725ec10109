using System.Globalization;
using System.IO.Ports;
using System.Text;
using Acquire.Core.Readings;
using Acquire.Core.Thermometry;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator;

public sealed class SignalWritersTests
{
    private static readonly ThermometerChain Couple = Signals.Chain("K in uV, measured");

    [Theory]
    [InlineData("K in uV, measured", "time_s,thermometer_uv,junction_c,detector,flame")]
    [InlineData("J in mV, fixed", "time_s,thermometer_mv,detector,flame")]
    [InlineData("S in V, compensated", "time_s,thermometer_v,detector,flame")]
    [InlineData("platinum in ohm, three wires", "time_s,thermometer_ohm,detector,flame")]
    [InlineData("platinum in kohm, two wires", "time_s,thermometer_kohm,detector,flame")]
    [InlineData("4-20 mA", "time_s,thermometer_ma,detector,flame")]
    [InlineData("K", "time_s,thermometer_k,detector,flame")]
    [InlineData("degF", "time_s,thermometer_f,detector,flame")]
    [InlineData("degC with certificate", "time_s,thermometer_c,detector,flame")]
    public async Task A_trace_names_the_signals_unit_and_reads_back_to_the_same_rows(string name, string header)
    {
        var run = new SimulatedRun(Specimens.BaseOil(71).With(Signals.Chain(name)) with { RowsPerSecond = 10 });

        var lines = await TraceAsync(run);

        Assert.Equal(header, lines[0]);
        Assert.Equal(run.ToArray(), lines[1..^1].Select(line => Row(line, header.Contains("junction", StringComparison.Ordinal))));
        Assert.All(lines[1..], line => Assert.DoesNotContain('E', line));
    }

    [Fact]
    public async Task What_a_faulty_thermometer_does_not_give_is_an_empty_field()
    {
        SimulatedFault[] faults = [new(SimulatedFaultKind.Silent, 1, 0.05), new(SimulatedFaultKind.JunctionSilent, 2, 0.05)];
        var couple = await TraceAsync(new(Specimens.BaseOil(72).With(Couple, faults) with { RowsPerSecond = 10 }));
        var plain = await TraceAsync(new(Specimens.BaseOil(72).With(ThermometerChain.Plain, faults[0]) with { RowsPerSecond = 10 }));

        Assert.Matches(@"^1,,[0-9.]+,[0-9.]+,0$", couple[11]);
        Assert.Matches(@"^2,[0-9]+,,[0-9.]+,0$", couple[21]);
        Assert.Matches(@"^1,,[0-9.]+,0$", plain[11]);
        Assert.Matches(@"^1.1,25(.1)?,[0-9.]+,0$", plain[12]);
    }

    [Fact]
    public async Task Microvolts_in_volts_are_written_without_exponent_and_nothing_without_sign()
    {
        var chain = Signals.Chain("S in V, compensated") with { Sensor = new ThermocoupleSensor(ThermocoupleType.S, ReferenceJunctionKind.Fixed, 23) };

        var lines = await TraceAsync(new(Specimens.BaseOil(76).With(chain, new SimulatedFault(SimulatedFaultKind.ShortCircuit, 0, 3000)) with { RowsPerSecond = 10 }));

        Assert.All(lines[1..^1], line => Assert.Matches("^[0-9.]+,(0|-?0.00000[1-3]),", line));
    }

    [Fact(Timeout = 30000)]
    public async Task A_serial_line_carries_what_a_trace_carries()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "pseudo terminals are only available on Linux");
        Assert.True(PseudoTerminal.TryOpen(out var terminal, out var reason), reason);
        using var closing = terminal;
        var run = new SimulatedRun(Specimens.BaseOil(73).With(Couple) with { RowsPerSecond = 10 });
        var expected = (await TraceAsync(run))[1..101];
        using var port = new SerialPort(terminal.SlavePath, 115200);
        port.Open();

        var speaking = SerialSpeaker.OnPseudoTerminal(terminal, TimeProvider.System, chain: Couple).SpeakAsync(run.Take(100), 60, TestContext.Current.CancellationToken);
        var text = new StringBuilder();
        var buffer = new byte[4096];
        while (text.ToString().Count(letter => letter == '\n') < 100)
        {
            text.Append(Encoding.ASCII.GetString(buffer, 0, await port.BaseStream.ReadAsync(buffer, TestContext.Current.CancellationToken)));
        }

        await speaking;
        Assert.Equal(expected, text.ToString().Split('\n', StringSplitOptions.RemoveEmptyEntries));
    }

    [Fact(Timeout = 30000)]
    public async Task Messages_carry_signal_and_junction_where_they_are()
    {
        using var broker = new ScriptedBroker(_ => ScriptedBroker.Mishap.None);
        SimulatedFault[] faults = [new(SimulatedFaultKind.Silent, 0.1, 0.05), new(SimulatedFaultKind.JunctionSilent, 0.2, 0.05)];
        var rows = new SimulatedRun(Specimens.BaseOil(74).With(Couple, faults) with { RowsPerSecond = 10 }).Take(3).ToArray();

        await new MqttSpeaker(new() { Tester = "bench-1", Port = broker.Port, Chain = Couple }, TimeProvider.System).SpeakAsync(rows, 60, TestContext.Current.CancellationToken);

        var said = string.Concat(broker.Received.Select(message => message.Payload)).Replace("][", ",", StringComparison.Ordinal);
        var expected = FormattableString.Invariant($$"""
            [{"time_s":0,"thermometer_uv":{{rows[0].Signal}},"junction_c":{{rows[0].JunctionCelsius}},"detector":{{rows[0].Detector}},"flame":0},{"time_s":0.1,"junction_c":{{rows[1].JunctionCelsius}},"detector":{{rows[1].Detector}},"flame":0},{"time_s":0.2,"thermometer_uv":{{rows[2].Signal}},"detector":{{rows[2].Detector}},"flame":0}]
            """);
        Assert.Equal(expected, said);
    }

    [Fact(Timeout = 30000)]
    public async Task Separate_topics_name_the_thermometer_and_its_junction()
    {
        using var broker = new ScriptedBroker(_ => ScriptedBroker.Mishap.None);
        var row = new SimulatedRun(Specimens.BaseOil(75).With(Couple)).First();

        await new MqttSpeaker(new() { Tester = "bench-1", Port = broker.Port, Chain = Couple, SeparateTopics = true }, TimeProvider.System).SpeakAsync([row], 60, TestContext.Current.CancellationToken);

        (string, string)[] expected =
        [
            ("acquire/bench-1/flame", "0"),
            ("acquire/bench-1/thermometer", row.Signal.ToString(CultureInfo.InvariantCulture)),
            ("acquire/bench-1/junction", row.JunctionCelsius.ToString(CultureInfo.InvariantCulture)),
            ("acquire/bench-1/detector", row.Detector.ToString(CultureInfo.InvariantCulture)),
        ];
        Assert.Equal(expected, broker.Received.Select(message => (message.Topic, message.Payload)));
    }

    private static async Task<string[]> TraceAsync(SimulatedRun run)
    {
        using var writer = new StringWriter(CultureInfo.InvariantCulture);
        await TraceWriter.WriteAsync(run, writer, TestContext.Current.CancellationToken);
        return writer.ToString().Split('\n');
    }

    private static ReadingRow Row(string line, bool hasJunction)
    {
        var cells = line.Split(',');
        var numbers = cells.Select(cell => double.Parse(cell, CultureInfo.InvariantCulture)).ToArray();
        Assert.Equal(hasJunction ? 5 : 4, cells.Length);
        var present = RowChannels.Signal | RowChannels.Detector | RowChannels.Flame | (hasJunction ? RowChannels.Junction : 0);
        return new(numbers[0], present, 0, numbers[^2], cells[^1] == "1") { Signal = numbers[1], JunctionCelsius = hasJunction ? numbers[2] : 0 };
    }
}
