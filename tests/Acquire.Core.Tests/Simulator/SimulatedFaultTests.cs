using Acquire.Core.Readings;
using Acquire.Core.Thermometry;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator;

public sealed class SimulatedFaultTests
{
    private const double Start = 700, Length = 30;

    [Theory]
    [InlineData("K in uV, measured", SimulatedFaultKind.OpenCircuit, 80_000, 80_000)]
    [InlineData("K in uV, measured", SimulatedFaultKind.ShortCircuit, -3, 3)]
    [InlineData("K in uV, measured", SimulatedFaultKind.Reversed, -12_000, -3000)]
    [InlineData("K in uV, measured", SimulatedFaultKind.Saturated, 80_000, 80_000)]
    // 650 °C: 27,025 µV from 0 °C (NIST Monograph 175), about 1000 µV less from a junction at 25 °C.
    [InlineData("K in uV, measured", SimulatedFaultKind.OutOfRange, 25_900, 26_150)]
    [InlineData("J in mV, fixed", SimulatedFaultKind.OpenCircuit, 80, 80)]
    // The tester adds the emf of its junction at 25 °C, 0.143 mV (NIST Monograph 175), to nothing.
    [InlineData("S in V, compensated", SimulatedFaultKind.ShortCircuit, 0.00013, 0.00017)]
    [InlineData("platinum in ohm, three wires", SimulatedFaultKind.OpenCircuit, 400, 400)]
    [InlineData("platinum in ohm, three wires", SimulatedFaultKind.ShortCircuit, 0.037, 0.043)]
    [InlineData("thermistor in ohm", SimulatedFaultKind.OpenCircuit, 990_000, 1_010_000)]
    [InlineData("4-20 mA", SimulatedFaultKind.OpenCircuit, -0.002, 0.002)]
    [InlineData("4-20 mA", SimulatedFaultKind.ShortCircuit, 24, 24)]
    [InlineData("4-20 mA", SimulatedFaultKind.OutOfRange, 20.79, 20.81)]
    [InlineData("0-10 V", SimulatedFaultKind.Reversed, -8, -3)]
    [InlineData("degF", SimulatedFaultKind.OutOfRange, 1201, 1203)]
    public void A_fault_shows_while_it_lasts_and_changes_nothing_else(string name, SimulatedFaultKind kind, double least, double most)
    {
        var (sound, faulty) = Pair(Signals.Chain(name), kind);

        for (var index = 0; index < sound.Length; index++)
        {
            if (IsDuring(sound[index]))
            {
                Assert.InRange(faulty[index].Signal, least, most);
                Assert.Equal(sound[index], faulty[index] with { Signal = sound[index].Signal });
            }
            else
            {
                Assert.Equal(sound[index], faulty[index]);
            }
        }
    }

    [Fact]
    public void A_stuck_thermometer_repeats_its_last_value()
    {
        var (sound, faulty) = Pair(Signals.Chain("K in uV, measured"), SimulatedFaultKind.Stuck);

        var last = sound.Last(row => row.AtSeconds < Start).Signal;

        Assert.All(faulty.Where(IsDuring), row => Assert.Equal(last, row.Signal));
        Assert.Equal(sound.Where(row => !IsDuring(row)), faulty.Where(row => !IsDuring(row)));
        Assert.NotEqual(sound.Where(IsDuring).Last().Signal, last);
    }

    [Fact]
    public void Jumps_are_single_wild_readings_from_the_start_on()
    {
        var chain = Signals.Chain("platinum in ohm, three wires");
        var (sound, faulty) = Pair(chain, SimulatedFaultKind.Jump);

        var wild = Enumerable.Range(0, sound.Length).Where(index => sound[index] != faulty[index]).ToArray();

        Assert.Equal(Start, sound[wild[0]].AtSeconds);
        // One every 1 to 3 s of 30 s, at 10 rows a second.
        Assert.InRange(wild.Length, 10, 30);
        Assert.All(wild, index => Assert.True(IsDuring(sound[index])));
        Assert.All(wild.Zip(wild.Skip(1)), pair => Assert.True(pair.Second - pair.First >= 10));
        Assert.All(wild, index => Assert.InRange(Math.Abs(Signals.Corrected(chain, faulty[index]) - Signals.Corrected(chain, sound[index])), 39, 152));
    }

    [Fact]
    public void A_silent_thermometer_leaves_the_other_channels_alone()
    {
        var (sound, faulty) = Pair(Signals.Chain("K in uV, measured"), SimulatedFaultKind.Silent);

        Assert.All(faulty.Where(IsDuring), row => Assert.Equal(RowChannels.Junction | RowChannels.Detector | RowChannels.Flame, row.Present));
        Assert.Equal(sound.Where(row => !IsDuring(row)), faulty.Where(row => !IsDuring(row)));
        Assert.Equal(sound.Select(row => row.Detector), faulty.Select(row => row.Detector));
    }

    [Fact]
    public void A_silent_junction_leaves_the_emf_alone_and_goes_with_another_fault()
    {
        var chain = Signals.Chain("K in uV, measured");
        var (sound, faulty) = Pair(chain, SimulatedFaultKind.JunctionSilent);
        var both = new SimulatedRun(Specimens.BaseOil(61).With(chain, new(SimulatedFaultKind.JunctionSilent, Start, Length), new(SimulatedFaultKind.Silent, Start, Length)));

        Assert.All(faulty.Where(IsDuring), row => Assert.Equal(RowChannels.Signal | RowChannels.Detector | RowChannels.Flame, row.Present));
        Assert.Equal(sound.Select(row => row.Signal), faulty.Select(row => row.Signal));
        Assert.All(both.Where(IsDuring), row => Assert.Equal(RowChannels.Detector | RowChannels.Flame, row.Present));
    }

    [Fact]
    public void A_plain_thermometer_has_faults_too()
    {
        var (sound, silent) = Pair(ThermometerChain.Plain, SimulatedFaultKind.Silent);
        var (_, hot) = Pair(ThermometerChain.Plain, SimulatedFaultKind.OutOfRange);

        Assert.All(silent.Where(IsDuring), row => Assert.Equal(RowChannels.Detector | RowChannels.Flame, row.Present));
        Assert.Equal(sound.Where(row => !IsDuring(row)), silent.Where(row => !IsDuring(row)));
        Assert.All(hot.Where(IsDuring), row => Assert.InRange(row.TemperatureCelsius, 649.7, 650.3));
    }

    [Theory]
    [InlineData("degF", SimulatedFaultKind.OpenCircuit, 0, 1, "thermometer.faults[0]", "'open-circuit' cannot be: the tester sends a temperature, and what its wires do is not seen")]
    [InlineData("thermistor in ohm", SimulatedFaultKind.Reversed, 0, 1, "thermometer.faults[0]", "'reversed' cannot be: a temperature or a resistance has no polarity")]
    [InlineData("J in mV, fixed", SimulatedFaultKind.JunctionSilent, 0, 1, "thermometer.faults[0]", "'junction-silent' cannot be: the tester sends no temperature of a reference junction")]
    [InlineData("4-20 mA", SimulatedFaultKind.Stuck, -1, 1, "thermometer.faults[0].startSeconds", "-1 is not within 0 to 86400")]
    [InlineData("4-20 mA", SimulatedFaultKind.Stuck, 1, double.NaN, "thermometer.faults[0].lengthSeconds", "NaN is not within 0.001 to 86400")]
    public void A_fault_that_cannot_be_is_refused(string name, SimulatedFaultKind kind, double start, double length, string path, string message)
    {
        var options = Specimens.BaseOil().With(Signals.Chain(name), new SimulatedFault(kind, start, length));

        Assert.Equal(new InputError(path, message), Assert.Single(options.Check()));
    }

    [Fact]
    public void A_sensor_that_the_run_would_leave_or_a_unit_that_is_not_its_own_is_refused()
    {
        var couple = new ThermocoupleSensor(ThermocoupleType.T, ReferenceJunctionKind.Fixed, 0);
        var hot = Specimens.BaseOil().With(new() { Unit = ThermometerUnit.Millivolt, Sensor = couple }) with { FireCelsius = 372 };
        var odd = Specimens.BaseOil().With(new() { Unit = ThermometerUnit.Ohm, Sensor = couple });

        // Type T: to 400 °C (NIST Monograph 175).
        Assert.Equal(new InputError("thermometer.chain.sensor", "ends at 400 °C, but this run goes to about 412 °C"), Assert.Single(hot.Check()));
        Assert.Equal("thermometer.chain.unit", Assert.Single(odd.Check()).Path);
    }

    [Fact]
    public void A_fault_is_read_from_its_text()
    {
        Assert.True(SimulatedFault.TryParse("open-circuit:600:2.5", "f", out var fault, out _));
        Assert.Equal(new(SimulatedFaultKind.OpenCircuit, 600, 2.5), fault);
        Assert.All(Enum.GetValues<SimulatedFaultKind>(), kind =>
        {
            Assert.True(SimulatedFault.TryParse(new SimulatedFault(kind, 0, 0).Word + ":1:2", "f", out var read, out _));
            Assert.Equal(kind, read.Kind);
        });
    }

    [Theory]
    [InlineData("", "'' is not KIND:START:LENGTH, such as stuck:600:90")]
    [InlineData("stuck:600", "'stuck:600' is not KIND:START:LENGTH, such as stuck:600:90")]
    [InlineData("broken:600:90", "'broken' is no fault of a thermometer; there are open-circuit, short-circuit, reversed, stuck, jump, saturated, silent, junction-silent, out-of-range")]
    [InlineData("stuck:6e2:90", "start and length in 'stuck:6e2:90' are not both seconds with a decimal point, such as stuck:600:90")]
    [InlineData("stuck:600:9,5", "start and length in 'stuck:600:9,5' are not both seconds with a decimal point, such as stuck:600:90")]
    public void A_text_that_is_no_fault_is_refused_with_what_is_wrong(string text, string message)
    {
        Assert.False(SimulatedFault.TryParse(text, "--thermometer-fault", out _, out var error));
        Assert.Equal(new("--thermometer-fault", message), error);
    }

    private static (ReadingRow[] Sound, ReadingRow[] Faulty) Pair(ThermometerChain chain, SimulatedFaultKind kind)
    {
        var options = Specimens.BaseOil(61) with { RowsPerSecond = 10, FireCelsius = null, CoolingSeconds = 0 };
        return ([.. new SimulatedRun(options.With(chain))], [.. new SimulatedRun(options.With(chain, new SimulatedFault(kind, Start, Length)))]);
    }

    private static bool IsDuring(ReadingRow row) => row.AtSeconds >= Start && row.AtSeconds < Start + Length;
}
