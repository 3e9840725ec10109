using Acquire.Core.Readings;
using Acquire.Core.Thermometry;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator;

public sealed class ThermometerSignalTests
{
    /// <summary>Four standard deviations of noise, half a step, and what the junction's own sensor is wrong by, as °C at the worst place of the run.</summary>
    public static TheoryData<string, double> Thermometers => new()
    {
        { "K in uV, measured", 0.12 },
        { "J in mV, fixed", 0.06 },
        // 6 µV/°C at room temperature.
        { "S in V, compensated", 0.5 },
        { "platinum in ohm, three wires", 0.01 },
        { "platinum in kohm, two wires", 0.001 },
        // 0.9 ohm/°C at 260 °C.
        { "thermistor in ohm", 0.02 },
        { "4-20 mA", 0.04 },
        { "0-10 V", 0.03 },
        { "K", 0.2 },
        { "degF", 0.2 },
        { "degC with certificate", 0.2 },
        { "mercury in glass", 0.2 },
    };

    [Theory]
    [MemberData(nameof(Thermometers))]
    public void The_cores_inverse_finds_the_sensors_temperature_again(string name, double withinCelsius)
    {
        var chain = Signals.Chain(name);
        var run = new SimulatedRun(Specimens.BaseOil(51).With(chain) with { CoolingSeconds = 60, RowsPerSecond = 10 });

        var errors = run.Select(row => Signals.Corrected(chain, row) - run.ThermometerAt(row.AtSeconds)).ToArray();

        Assert.True(errors.Length > 10_000);
        Assert.All(errors, error => Assert.InRange(error, -withinCelsius, withinCelsius));
        Assert.Contains(errors, error => Math.Abs(error) > withinCelsius / 100);
    }

    [Theory]
    [InlineData("K in uV, measured", RowChannels.Signal | RowChannels.Junction | RowChannels.Detector | RowChannels.Flame)]
    [InlineData("S in V, compensated", RowChannels.Signal | RowChannels.Detector | RowChannels.Flame)]
    [InlineData("degC with certificate", RowChannels.Signal | RowChannels.Detector | RowChannels.Flame)]
    public void Rows_carry_the_signal_and_no_temperature(string name, RowChannels present)
    {
        var rows = new SimulatedRun(Specimens.BaseOil(52).With(Signals.Chain(name))).Take(500);

        Assert.All(rows, row => Assert.Equal(present, row.Present));
    }

    [Fact]
    public void A_thermometer_shows_too_much_where_its_certificate_takes_off()
    {
        var chain = Signals.Chain("K in uV, measured");
        var run = new SimulatedRun(Specimens.BaseOil(53).With(chain));

        var at = run.First(row => run.ThermometerAt(row.AtSeconds) >= 200);

        // Its certificate: -0.9 °C at a reading of 200 °C, -1.1 °C at 260 °C.
        Assert.InRange(Signals.Shown(chain, at) - run.ThermometerAt(at.AtSeconds), 0.9 - 0.12, 0.9 + 0.12);
    }

    [Fact]
    public void A_column_that_stands_out_of_the_specimen_shows_too_little()
    {
        var chain = Signals.Chain("mercury in glass") with { Calibration = null };
        var run = new SimulatedRun(Specimens.BaseOil(53).With(chain));

        var at = run.First(row => run.ThermometerAt(row.AtSeconds) >= 200);

        // 0.00016 · (197 - 60) · (197 - 45) = 3.3 °C.
        Assert.InRange(run.ThermometerAt(at.AtSeconds) - at.Signal, 3.1, 3.6);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void The_reference_junction_warms_slowly_while_the_cup_is_heated(ulong seed)
    {
        var run = new SimulatedRun(Specimens.BaseOil(seed).With(Signals.Chain("K in uV, measured")));
        var rows = run.ToArray();

        Assert.InRange(rows[0].JunctionCelsius, 22.6, 23.4);
        Assert.InRange(run.JunctionAt(run.Truth.HeaterOffSeconds) - run.JunctionAt(run.Truth.HeaterOnSeconds), 2, 4);
        // Its sensor is wrong by up to twice 0.02 °C, always the same way; what is sent is rounded to 0.01 °C.
        var errors = rows.Select(row => row.JunctionCelsius - run.JunctionAt(row.AtSeconds)).ToArray();
        Assert.InRange(errors.Average(), -0.041, 0.041);
        Assert.InRange(errors.Max() - errors.Min(), 0.001, 0.0101);
        Assert.All(rows, row => Assert.Equal(Math.Round(row.JunctionCelsius, 2), row.JunctionCelsius));
        Assert.All(rows.Zip(rows.Skip(1)), pair => Assert.InRange(pair.Second.JunctionCelsius - pair.First.JunctionCelsius, -0.0101, 0.0101));
    }

    [Fact]
    public void The_cup_knows_nothing_of_its_thermometers_wiring()
    {
        var plain = new SimulatedRun(Specimens.BaseOil(54));
        var wired = new SimulatedRun(Specimens.BaseOil(54).With(Signals.Chain("4-20 mA"), new SimulatedFault(SimulatedFaultKind.OpenCircuit, 600, 60)));

        Assert.Equal(plain.Truth.Flash, wired.Truth.Flash);
        Assert.Equal(plain.Truth.Applications, wired.Truth.Applications);
        Assert.Equal(plain.Select(row => row.Detector), wired.Select(row => row.Detector));
    }

    [Fact]
    public void A_transmitter_stands_at_the_end_of_its_span_while_the_specimen_is_beyond()
    {
        var chain = Signals.Chain("4-20 mA") with { Calibration = null, Sensor = new TransmitterSensor(TransmitterSignal.FourToTwentyMilliampere, 0, 200) };
        var run = new SimulatedRun(Specimens.BaseOil(55).With(chain));

        Assert.All(run.Where(row => run.ThermometerAt(row.AtSeconds) > 208), row => Assert.InRange(row.Signal, 20.498, 20.502));
    }

    [Fact]
    public void The_truth_states_thermometer_and_faults_and_makes_the_same_run_again()
    {
        var run = new SimulatedRun(Specimens.BaseOil(56).With(Signals.Chain("platinum in ohm, three wires"), new SimulatedFault(SimulatedFaultKind.Stuck, 100, 80.5)));

        var json = TraceWriter.TruthJson(run.Truth);
        var again = TraceWriter.ParseTruth(json);

        Assert.Contains("\"kind\": \"platinum\"", json, StringComparison.Ordinal);
        Assert.Contains("\"kind\": \"stuck\"", json, StringComparison.Ordinal);
        Assert.Equal(run.Options.Thermometer.Faults, again.Options.Thermometer.Faults);
        Assert.Equal(run, new SimulatedRun(again.Options));
        var plain = TraceWriter.TruthJson(new SimulatedRun(Specimens.BaseOil(56)).Truth);
        Assert.DoesNotContain("chain", plain, StringComparison.Ordinal);
        Assert.DoesNotContain("faults", plain, StringComparison.Ordinal);
        Assert.DoesNotContain("junctionStart", plain, StringComparison.Ordinal);
    }

    [Fact]
    public void Named_thermometers_can_be_run_and_are_calibrated_on_the_day()
    {
        Assert.All(ThermometerPresets.Names, name =>
        {
            Assert.True(ThermometerPresets.TryFind(name, Signals.Day, out var chain));
            Assert.Empty(Specimens.BaseOil().With(chain).Check());
            Assert.Equal(CalibrationStanding.Valid, CalibrationCurve.StandingOn(chain.Calibration!, Signals.Day).Standing);
        });
        Assert.False(ThermometerPresets.TryFind("k", Signals.Day, out _));
    }
}
