using Acquire.Core.Readings;
using Acquire.Core.Thermometry;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator;

public sealed class ReadFaultTests
{
    private const double Start = 700, Length = 90;

    [Theory]
    [InlineData("K in uV, measured", SimulatedFaultKind.OpenCircuit, ReadingMarks.ConverterSaturated)]
    [InlineData("K in uV, measured", SimulatedFaultKind.ShortCircuit, ReadingMarks.ShortCircuit)]
    [InlineData("K in uV, measured", SimulatedFaultKind.Reversed, ReadingMarks.ReversedPolarity)]
    [InlineData("K in uV, measured", SimulatedFaultKind.Stuck, ReadingMarks.Stuck)]
    [InlineData("K in uV, measured", SimulatedFaultKind.Jump, ReadingMarks.ImpossibleJump)]
    [InlineData("K in uV, measured", SimulatedFaultKind.Silent, ReadingMarks.Stale)]
    [InlineData("K in uV, measured", SimulatedFaultKind.JunctionSilent, ReadingMarks.JunctionMissing)]
    [InlineData("K in uV, measured", SimulatedFaultKind.OutOfRange, ReadingMarks.OutOfRange)]
    [InlineData("platinum in ohm, three wires", SimulatedFaultKind.OpenCircuit, ReadingMarks.ConverterSaturated)]
    [InlineData("platinum in ohm, three wires", SimulatedFaultKind.ShortCircuit, ReadingMarks.ShortCircuit)]
    [InlineData("4-20 mA", SimulatedFaultKind.OpenCircuit, ReadingMarks.OpenCircuit)]
    [InlineData("4-20 mA", SimulatedFaultKind.ShortCircuit, ReadingMarks.ConverterSaturated)]
    [InlineData("4-20 mA", SimulatedFaultKind.OutOfRange, ReadingMarks.OutOfRange)]
    public void The_cores_reader_recognises_a_fault_and_finds_none_before_it(string name, SimulatedFaultKind kind, ReadingMarks mark)
    {
        var chain = Signals.Chain(name);
        var run = new SimulatedRun(Specimens.BaseOil(81).With(chain, new SimulatedFault(kind, Start, Length)) with { RowsPerSecond = 10 });
        var reader = new ThermometerReader(chain);

        var rows = run.TakeWhile(row => row.AtSeconds < Start + Length).Select(row => reader.Take(row)).ToArray();

        Assert.All(rows.Where(row => row.AtSeconds < Start), row =>
        {
            Assert.True(row.HasSoundTemperature);
            Assert.InRange(row.TemperatureCelsius - run.ThermometerAt(row.AtSeconds), -0.12, 0.12);
        });
        Assert.Contains(rows, row => row.AtSeconds >= Start && (row.Marks & mark) != 0);
    }
}
