using Acquire.Core.Alarms;
using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Core.Tests.Traces;
using Acquire.Core.Thermometry;
using Xunit;

namespace Acquire.Core.Tests.Runs;

public sealed class ThermometerSupervisionTests
{
    private static readonly BenchTrace Usual = new() { PerSecond = 25, FireCelsius = null, Seed = 13, ThermometerStep = 0.001 };

    internal static readonly ThermometerChain TypeK = new()
    {
        Unit = ThermometerUnit.Microvolt,
        Sensor = new ThermocoupleSensor(ThermocoupleType.K, ReferenceJunctionKind.Measured, null),
        Limits = new() { ColdestCelsius = 5 },
    };

    [Fact]
    public void A_thermocouple_in_microvolts_gives_the_result_of_its_temperatures()
    {
        var run = Usual.Make();

        var celsius = run.Judge();
        var microvolts = run.Judge(Signals(run.Rows), run.Trace.Plan with { Thermometer = TypeK });

        Assert.Equal(celsius.Result.Verdict, microvolts.Result.Verdict);
        Assert.Equal(celsius.Result.Flash!.ObservedCelsius, microvolts.Result.Flash!.ObservedCelsius, tolerance: 0.001);
        Assert.Equal(celsius.Result.Findings.Select(finding => finding.Code), microvolts.Result.Findings.Select(finding => finding.Code));
    }

    [Theory]
    [InlineData(213, 2, FindingWeight.Doubtful, Verdict.Doubtful)]
    [InlineData(165, 2, FindingWeight.Note, Verdict.Valid)]
    [InlineData(213, 40, FindingWeight.Doubtful, Verdict.Invalid)]
    public void An_open_thermocouple_is_alarmed_at_once_and_weighs_by_its_place(double celsius, double seconds, FindingWeight weight, Verdict verdict)
    {
        var run = Usual.Make();
        var from = run.Rows.First(row => row.TemperatureCelsius >= celsius).AtSeconds;
        var rows = Signals(run.Rows).Select(row => Within(row, from, seconds) ? row with { Signal = 80_000 } : row);

        var judged = run.Judge(rows, run.Trace.Plan with { Thermometer = TypeK });

        var found = judged.Only(FindingCodes.ThermometerOpenCircuit);
        Assert.Equal(weight, found.Weight);
        Assert.Equal(from, found.TimeSeconds, tolerance: 0.05);
        Assert.Equal((seconds * 25) + 1, found.Value!.Value, tolerance: 2);
        Assert.Equal(verdict, judged.Result.Verdict);
        var raised = Assert.Single(judged.Outputs.OfType<AlarmRaised>(), alarm => alarm.Code == FindingCodes.ThermometerOpenCircuit);
        Assert.Equal(from, raised.AtSeconds, tolerance: 0.05);
        var cleared = Assert.Single(judged.Outputs.OfType<AlarmCleared>(), alarm => alarm.Code == FindingCodes.ThermometerOpenCircuit);
        Assert.Equal(from + seconds + 3, cleared.AtSeconds, tolerance: 0.2);
    }

    [Fact]
    public void A_thermometer_that_is_stuck_from_before_the_flash_does_not_give_a_flash_point()
    {
        var run = Usual.Make();
        var from = run.Rows.First(row => row.TemperatureCelsius >= 205).AtSeconds;
        double? held = null;
        var rows = Signals(run.Rows).Select(row => row.AtSeconds < from ? row : row with { Signal = held ??= row.Signal });

        var judged = run.Judge(rows, run.Trace.Plan with { Thermometer = TypeK });

        Assert.Equal(FindingWeight.Doubtful, judged.Only(FindingCodes.ThermometerStuck).Weight);
        Assert.NotEqual(Verdict.Valid, judged.Result.Verdict);
    }

    [Theory]
    [InlineData(2, true)]
    [InlineData(5, false)]
    public void A_flash_has_a_temperature_only_where_the_thermometer_was_read_near_it(double secondsBefore, bool read)
    {
        // A thermometer that is silent from before the flash to the end: more than 3 s away is a gap by our own rule.
        var run = Usual.Make();
        var from = run.Flash!.Onset!.Value - secondsBefore;

        var judged = run.Judge(run.Rows.Select(row => row.AtSeconds < from ? row : row with { Present = row.Present & ~RowChannels.Temperature }));

        Assert.Equal(read, judged.Result.Flash is not null);
        Assert.Equal(read, judged.Outputs.OfType<FlashDetected>().Single().TemperatureCelsius is not null);
        Assert.Equal(read ? null : FindingWeight.Invalid, judged.Result.Findings.SingleOrDefault(finding => finding.Code == FindingCodes.PointNotRead)?.Weight);
        Assert.NotEqual(Verdict.Valid, judged.Result.Verdict);
        Assert.Contains(judged.Result.Findings, finding => finding.Code == FindingCodes.DataGap);
    }

    [Fact]
    public void A_thermometer_lost_between_flash_and_fire_leaves_the_flash_and_takes_the_fire()
    {
        var run = (Usual with { FireCelsius = 235.5 }).Make();
        var from = run.Flash!.Onset!.Value + 20;

        var judged = run.Judge(run.Rows.Select(row => row.AtSeconds < from ? row : row with { Present = row.Present & ~RowChannels.Temperature }));

        Assert.NotNull(judged.Result.Flash);
        Assert.Null(judged.Result.Fire);
        Assert.Equal(FindingWeight.Doubtful, judged.Only(FindingCodes.PointNotRead).Weight);
        Assert.Equal(Verdict.Doubtful, judged.Result.Verdict);
    }

    [Theory]
    [InlineData(20)]
    [InlineData(30)]
    [InlineData(50)]
    public void A_thermometer_that_froze_before_the_fire_gives_no_fire_point(double secondsBefore)
    {
        var run = (Usual with { FireCelsius = 235.5 }).Make();
        var from = run.Fire!.Onset!.Value - secondsBefore;
        double? held = null;

        var judged = run.Judge(run.Rows.Select(row => row.AtSeconds < from ? row : row with { TemperatureCelsius = held ??= row.TemperatureCelsius }));

        Assert.Null(judged.Result.Fire);
        Assert.Equal(FindingWeight.Doubtful, judged.Only(FindingCodes.PointNotRead).Weight);
        Assert.Equal(Verdict.Doubtful, judged.Result.Verdict);
    }

    [Theory]
    [InlineData(58, 1)]
    [InlineData(30, 3)]
    public void A_thermometer_that_was_frozen_over_the_fire_gives_no_fire_point_though_it_moves_again(double secondsBefore, double secondsAfter)
    {
        var run = (Usual with { FireCelsius = 235.5 }).Make();
        var (from, to) = (run.Fire!.Onset!.Value - secondsBefore, run.Fire.Onset.Value + secondsAfter);
        double? held = null;

        var judged = run.Judge(run.Rows.Select(row => row.AtSeconds < from || row.AtSeconds > to ? row : row with { TemperatureCelsius = held ??= row.TemperatureCelsius }));

        Assert.Null(judged.Result.Fire);
        Assert.NotEqual(Verdict.Valid, judged.Result.Verdict);
    }

    [Theory]
    [InlineData(0.0)]
    [InlineData(-10.0)]
    [InlineData(85.0)]
    public void A_reference_junction_that_cannot_be_gives_no_flash_point(double junctionCelsius)
    {
        // A broken junction sensor reads 0 °C, or the end of its range: compensated by it, the flash would be tens of degrees off.
        var run = Usual.Make();

        var judged = run.Judge(Signals(run.Rows).Select(row => row with { JunctionCelsius = junctionCelsius }), run.Trace.Plan with { Thermometer = TypeK });

        Assert.Null(judged.Result.Flash);
        Assert.Equal(Verdict.Invalid, judged.Result.Verdict);
        Assert.NotNull(judged.Only(FindingCodes.JunctionMissing));
    }

    [Fact]
    public void A_junction_that_jumps_in_the_series_spoils_the_run()
    {
        var run = Usual.Make();
        var from = run.Rows.First(row => row.TemperatureCelsius >= 213).AtSeconds;

        var judged = run.Judge(Signals(run.Rows).Select(row => row.AtSeconds < from ? row : row with { JunctionCelsius = row.JunctionCelsius + 20 }), run.Trace.Plan with { Thermometer = TypeK });

        Assert.NotEqual(Verdict.Valid, judged.Result.Verdict);
    }

    [Theory]
    [InlineData(0.9, true)]
    [InlineData(0.1, false)]
    public void Many_bad_readings_near_the_flash_are_doubtful_though_they_leave_no_hole(double share, bool doubtful)
    {
        var run = Usual.Make();
        var from = run.Flash!.Onset!.Value - 60;
        var random = new Random(4);
        var chain = ThermometerChain.Plain with { Limits = new() { HottestCelsius = 400 } };

        var judged = run.Judge(run.Rows.Select(row => row.AtSeconds > from && random.NextDouble() < share ? row with { TemperatureCelsius = 900 } : row), run.Trace.Plan with { Thermometer = chain });

        Assert.Equal(doubtful ? FindingWeight.Doubtful : null, judged.Result.Findings.SingleOrDefault(finding => finding.Code == FindingCodes.ThermometerIntermittent)?.Weight);
        Assert.Equal(doubtful ? Verdict.Doubtful : Verdict.Valid, judged.Result.Verdict);
    }

    [Fact]
    public void Rows_taken_as_they_stand_keep_what_their_marks_say()
    {
        var run = Usual.Make();
        var reader = new ThermometerReader(ThermometerChain.Plain with { Calibration = ThermometerCertificateTests.Certificate with { Points = [new(20, 0, 0.3), new(200, 0, 0.3)] } });
        var rows = run.Rows.Select(row => reader.Take(row)).ToArray();

        var result = RunReplay.RunAsRead(run.Trace.Plan with { TemperaturesAsRead = true }, rows);

        Assert.Contains(result.Findings, finding => finding.Code == FindingCodes.OutsideCalibration && finding.Weight == FindingWeight.Doubtful);
        Assert.Contains(result.Findings, finding => finding.Code == FindingCodes.TemperaturesAsRead && finding.Weight == FindingWeight.Note);
    }

    [Theory]
    [InlineData(-10.0, 20.0)]
    [InlineData(-9.0, 15.0)]
    [InlineData(6.0, 20.0)]
    public void A_dip_or_bump_of_the_thermometer_does_not_end_the_run(double celsius, double halfSeconds)
    {
        // A sensor that is lifted for half a minute: the oil is heated on, and the flash that follows must be seen.
        var run = Usual.Make();
        var middle = run.Flash!.Onset!.Value - 60;

        var judged = run.Judge(run.Rows.Select(row => row with { TemperatureCelsius = row.TemperatureCelsius + (celsius * Math.Max(0, 1 - (Math.Abs(row.AtSeconds - middle) / halfSeconds))) }));

        Assert.Equal(run.Flash.Onset!.Value, judged.Result.Flash!.TimeSeconds, tolerance: 0.1);
        Assert.NotEqual(Verdict.Valid, judged.Result.Verdict);
    }

    [Fact]
    public void Noise_does_not_end_the_run()
    {
        var run = Usual.Make();
        var middle = run.Flash!.Onset!.Value - 100;
        var random = new Random(5);

        var judged = run.Judge(run.Rows.Select(row => Math.Abs(row.AtSeconds - middle) > 4 ? row : row with { TemperatureCelsius = row.TemperatureCelsius + (6 * (random.NextDouble() - 0.5)) }));

        Assert.Equal(run.Flash.Onset!.Value, judged.Result.Flash!.TimeSeconds, tolerance: 0.1);
    }

    [Fact]
    public void A_junction_that_sticks_or_slides_away_is_not_believed()
    {
        var run = Usual.Make();
        var plan = run.Trace.Plan with { Thermometer = TypeK };
        double? held = null;
        var sticks = run.Judge(Signals(run.Rows).Select(row => row.AtSeconds < 200 ? row : row with { JunctionCelsius = held ??= row.JunctionCelsius }), plan);
        var slides = run.Judge(Signals(run.Rows).Select(row => row with { JunctionCelsius = row.JunctionCelsius - Math.Max(0, (row.AtSeconds - 200) * 0.06) }), plan);

        Assert.NotEqual(Verdict.Valid, sticks.Result.Verdict);
        Assert.NotEqual(Verdict.Valid, slides.Result.Verdict);
        Assert.NotNull(sticks.Only(FindingCodes.JunctionMissing));
        Assert.NotNull(slides.Only(FindingCodes.JunctionMissing));
    }

    [Fact]
    public void A_step_of_the_temperature_in_the_series_makes_the_run_invalid()
    {
        var run = Usual.Make();
        var from = run.Flash!.Onset!.Value - 30;

        var judged = run.Judge(run.Rows.Select(row => row.AtSeconds < from ? row : row with { TemperatureCelsius = row.TemperatureCelsius - 200 }));

        Assert.Equal(FindingWeight.Invalid, judged.Only(FindingCodes.PointNotRead).Weight);
        Assert.Null(judged.Result.Flash);
        Assert.Equal(Verdict.Invalid, judged.Result.Verdict);
    }

    [Fact]
    public void Scattered_wild_readings_are_not_exchanged_wires()
    {
        var run = Usual.Make();
        var random = new Random(6);

        var judged = run.Judge(Signals(run.Rows).Select(row => random.NextDouble() < 0.02 ? row with { Signal = -3000 } : row), run.Trace.Plan with { Thermometer = TypeK });

        Assert.NotEqual(Verdict.Invalid, judged.Result.Verdict);
    }

    [Fact]
    public void Exchanged_wires_make_the_run_invalid()
    {
        var run = Usual.Make();
        var chain = TypeK with { Limits = new() };

        var judged = run.Judge(Signals(run.Rows).Select(row => row with { Signal = -row.Signal }), run.Trace.Plan with { Thermometer = chain });

        Assert.Equal(FindingWeight.Invalid, judged.Only(FindingCodes.ThermometerReversed).Weight);
        Assert.Null(judged.Result.Flash);
    }

    [Fact]
    public void Faults_survive_a_snapshot_at_any_point()
    {
        var run = Usual.Make();
        var plan = run.Trace.Plan with { Thermometer = TypeK };
        var from = run.Rows.First(row => row.TemperatureCelsius >= 213).AtSeconds;
        var reader = new ThermometerReader(TypeK);
        var rows = Signals(run.Rows).Select(row => reader.Take(Within(row, from, 2) ? row with { Signal = 80_000 } : row)).ToArray();
        var whole = RunReplay.RunAsRead(plan, rows);

        foreach (var cut in new[] { from - 1, from + 1, from + 3, from + 10 })
        {
            var state = RunSupervisor.Begin(plan);
            foreach (var row in rows)
            {
                if (row.AtSeconds >= cut && row.AtSeconds < cut + 0.04)
                {
                    state = RunSnapshot.Load(RunSnapshot.Save(state));
                }

                RunSupervisor.Step(state, plan, row, []);
            }

            RunSupervisor.Step(state, plan, RunInput.Stop(state.AtSeconds), []);
            Assert.Equal(whole.Findings, state.Result!.Findings);
            Assert.Equal(whole.Flash, state.Result.Flash);
        }
    }

    [Fact]
    public void Every_fault_has_a_code_and_a_sentence_of_its_own()
    {
        Assert.Equal(ReadingMarks.Bad, ThermometerFaults.All.Aggregate(ReadingMarks.None, (all, fault) => all | fault.Mark));
        Assert.Equal(ThermometerFaults.All.Count, ThermometerFaults.All.Select(fault => fault.Code).Distinct().Count());
        Assert.Equal(ThermometerFaults.All.Count, ThermometerFaults.All.Select(fault => fault.Text).Distinct().Count());
        Assert.All(ThermometerFaults.All, fault => Assert.Equal(fault.Index, ThermometerFaults.All.ToList().IndexOf(fault)));
        Assert.Equal(AlarmCodes.CalibrationOverdue, FindingCodes.CalibrationOverdue);
    }

    private static bool Within(in ReadingRow row, double from, double seconds) => row.AtSeconds >= from && row.AtSeconds <= from + seconds;

    // The junction warms from 23 °C while the cup heats.
    internal static IEnumerable<ReadingRow> Signals(IEnumerable<ReadingRow> rows)
    {
        var couple = Thermocouple.Of(ThermocoupleType.K);
        return rows.Select(row =>
        {
            var junction = 23 + (row.AtSeconds / 600);
            return row.Has(RowChannels.Temperature)
                ? row with
                {
                    Present = (row.Present & ~RowChannels.Temperature) | RowChannels.Signal | RowChannels.Junction,
                    Signal = 1000 * (couple.EmfMillivolts(row.TemperatureCelsius) - couple.EmfMillivolts(junction)),
                    JunctionCelsius = junction,
                    TemperatureCelsius = 0,
                }
                : row;
        });
    }
}
