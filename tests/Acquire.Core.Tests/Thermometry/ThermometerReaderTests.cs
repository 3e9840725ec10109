using Acquire.Core.Readings;
using Acquire.Core.Thermometry;
using Xunit;

namespace Acquire.Core.Tests.Thermometry;

public sealed class ThermometerReaderTests
{
    // Emfs of type K printed in the NIST ITS-90 thermocouple database (SRD 60, type K, Monograph 175), mV.
    private const double At25 = 1.000;
    private const double At200 = 8.138;
    private const double At230 = 9.343;

    // Half a printed digit over the smallest slope used here, 0.0395 mV/°C.
    private const double Printed = 0.0005 * 2 / 0.0395;

    private static readonly ThermometerChain TypeK = new()
    {
        Unit = ThermometerUnit.Microvolt,
        Sensor = new ThermocoupleSensor(ThermocoupleType.K, ReferenceJunctionKind.Measured, null),
        Limits = new() { ColdestCelsius = 5, HottestCelsius = 450 },
    };

    private static readonly ThermometerChain Pt100 = new() { Unit = ThermometerUnit.Ohm, Sensor = new PlatinumSensor(100, 3, null, null) };

    [Fact]
    public void A_thermocouple_is_compensated_in_emf_and_not_by_adding_temperatures()
    {
        var read = new ThermometerReader(TypeK).Take(Row(0, (At230 - At25) * 1000, junctionCelsius: 25));

        Assert.Equal(230, read.TemperatureCelsius, tolerance: Printed);
        Assert.Equal(ReadingMarks.None, read.Marks);
        Assert.True(read.HasSoundTemperature);
        Assert.Equal((At230 - At25) * 1000, read.Signal);
    }

    [Theory]
    [InlineData(ReferenceJunctionKind.Fixed, 25.0, At200 - At25)]
    [InlineData(ReferenceJunctionKind.Compensated, null, At200)]
    public void A_fixed_junction_and_one_compensated_by_the_tester_need_no_junction_reading(ReferenceJunctionKind kind, double? celsius, double millivolts)
    {
        var chain = TypeK with { Unit = ThermometerUnit.Millivolt, Sensor = new ThermocoupleSensor(ThermocoupleType.K, kind, celsius) };

        Assert.Equal(200, new ThermometerReader(chain).Take(Row(0, millivolts)).TemperatureCelsius, tolerance: Printed);
    }

    [Fact]
    public void A_junction_may_come_in_rows_of_its_own_and_counts_until_it_is_stale()
    {
        var reader = new ThermometerReader(TypeK);

        Assert.Equal(ReadingMarks.JunctionMissing, reader.Take(Row(0, 7138)).Marks);
        Assert.Equal(ReadingMarks.None, reader.Take(Row(1, null, junctionCelsius: 25)).Marks);
        Assert.Equal(200, reader.Take(Row(6, 7138)).TemperatureCelsius, tolerance: Printed);
        var late = reader.Take(Row(6.1, 7139));
        Assert.Equal(ReadingMarks.JunctionMissing, late.Marks);
        Assert.False(late.Has(RowChannels.Temperature));
        Assert.Equal(7139, late.Signal);
    }

    [Theory]
    [InlineData(1e300)]
    [InlineData(1e9)]
    public void A_junction_with_a_time_from_nowhere_does_not_count_as_fresh_for_ever(double nowhere)
    {
        var reader = new ThermometerReader(TypeK);
        reader.Take(Row(0, 7138, junctionCelsius: 25));
        reader.Take(Row(nowhere, 7138, junctionCelsius: 26));

        // The junction's channel is dead from here on.
        Assert.Equal(ReadingMarks.JunctionMissing, reader.Take(Row(20, 7139)).Marks & ReadingMarks.JunctionMissing);
    }

    [Fact]
    public void A_time_from_nowhere_does_not_end_the_watch_over_jumps()
    {
        var reader = new ThermometerReader(ThermometerChain.Plain);
        Feed(reader, 0, 20, 100);
        reader.Take(Celsius(1e300, 100));

        Assert.Equal(ReadingMarks.ImpossibleJump, reader.Take(Celsius(20, 300)).Marks);
    }

    [Theory]
    [InlineData(80_000, ReadingMarks.OpenCircuit)]
    [InlineData(-80_000, ReadingMarks.OpenCircuit)]
    [InlineData(-3000, ReadingMarks.ReversedPolarity)]
    [InlineData(-8341, ReadingMarks.ReversedPolarity)]
    [InlineData(-700, ReadingMarks.None)]
    [InlineData(25_000, ReadingMarks.OutOfRange)]
    public void A_thermocouple_tells_its_faults_apart(double microvolts, ReadingMarks expected)
    {
        var read = new ThermometerReader(TypeK).Take(Row(0, microvolts, junctionCelsius: 25));

        Assert.Equal(expected, read.Marks);
        Assert.Equal(microvolts, read.Signal);
    }

    [Theory]
    [InlineData(78_000.0)]
    [InlineData(-1000.0)]
    public void A_signal_at_an_end_of_the_converter_is_saturated(double microvolts)
    {
        var chain = TypeK with { Limits = TypeK.Limits with { ConverterLow = -1000, ConverterHigh = 78_000 } };

        Assert.Equal(ReadingMarks.ConverterSaturated, new ThermometerReader(chain).Take(Row(0, microvolts, junctionCelsius: 25)).Marks);
    }

    [Theory]
    [InlineData(138.51, 100.0, ReadingMarks.None)] // IEC 60751: 138.51 ohm at 100 °C.
    [InlineData(0.4, null, ReadingMarks.ShortCircuit)]
    [InlineData(100_000, null, ReadingMarks.OpenCircuit)]
    [InlineData(380, 814.0, ReadingMarks.OutOfRange)]
    public void A_platinum_thermometer_tells_its_faults_apart(double ohms, double? celsius, ReadingMarks expected)
    {
        var read = new ThermometerReader(Pt100 with { Limits = new() { HottestCelsius = 450 } }).Take(Row(0, ohms));

        Assert.Equal(expected, read.Marks);
        Assert.Equal(celsius is not null, read.Has(RowChannels.Temperature));
        Assert.Equal(celsius ?? 0, read.TemperatureCelsius, tolerance: 1);
    }

    [Theory]
    [InlineData(12, ReadingMarks.None)]
    [InlineData(3.7, ReadingMarks.OutOfRange)]
    [InlineData(3.5, ReadingMarks.TransmitterFailure)]
    [InlineData(21.5, ReadingMarks.TransmitterFailure)]
    [InlineData(0.01, ReadingMarks.OpenCircuit)]
    [InlineData(-12, ReadingMarks.ReversedPolarity)]
    public void A_current_loop_tells_its_faults_apart(double milliampere, ReadingMarks expected)
    {
        // Levels of NAMUR NE 43; value from memory.
        var chain = new ThermometerChain { Unit = ThermometerUnit.Milliampere, Sensor = new TransmitterSensor(TransmitterSignal.FourToTwentyMilliampere, 0, 400) };

        Assert.Equal(expected, new ThermometerReader(chain).Take(Row(0, milliampere)).Marks);
    }

    [Theory]
    [InlineData(5, ThermometerUnit.Volt, 200.0)]
    [InlineData(2500, ThermometerUnit.Millivolt, 100.0)]
    public void A_voltage_loop_is_linear_over_its_span(double signal, ThermometerUnit unit, double celsius)
    {
        var chain = new ThermometerChain { Unit = unit, Sensor = new TransmitterSensor(TransmitterSignal.ZeroToTenVolt, 0, 400) };

        Assert.Equal(celsius, new ThermometerReader(chain).Take(Row(0, signal)).TemperatureCelsius, tolerance: 1e-9);
    }

    [Theory]
    [InlineData(32, 0, ThermometerUnit.Fahrenheit)]
    [InlineData(212, 100, ThermometerUnit.Fahrenheit)]
    [InlineData(273.15, 0, ThermometerUnit.Kelvin)]
    public void Temperatures_in_other_units_are_converted_and_kept_as_sent(double signal, double celsius, ThermometerUnit unit)
    {
        var read = new ThermometerReader(new() { Unit = unit, Sensor = new DirectSensor() }).Take(Row(0, signal));

        Assert.Equal(celsius, read.TemperatureCelsius, tolerance: 1e-9);
        Assert.Equal(signal, read.Signal);
    }

    [Fact]
    public void A_signal_that_changed_and_then_repeats_itself_is_stuck_after_a_minute()
    {
        var reader = new ThermometerReader(ThermometerChain.Plain);
        for (var at = 0.0; at < 30; at += 0.1)
        {
            Assert.Equal(ReadingMarks.None, reader.Take(Celsius(at, 100 + at)).Marks);
        }

        var marks = Enumerable.Range(300, 700).Select(tenth => (At: tenth / 10.0, reader.Take(Celsius(tenth / 10.0, 130)).Marks)).ToArray();

        Assert.All(marks, reading => Assert.Equal(reading.At > 90.05 ? ReadingMarks.Stuck : reading.At > 33.05 ? ReadingMarks.Resting : ReadingMarks.None, reading.Marks));
        Assert.Equal(ReadingMarks.None, reader.Take(Celsius(100, 130.1)).Marks);
    }

    [Theory]
    [InlineData(0, 0.1)] // An idle cup: it never changed, so nothing is known.
    [InlineData(5.5, 1.0)] // A ramp seen through steps of 1 °C stands still for 11 s at a time.
    [InlineData(0.1, 0.1)] // A cup that hardly warms.
    public void Rest_and_coarse_steps_are_not_stuck(double celsiusPerMinute, double step)
    {
        var reader = new ThermometerReader(ThermometerChain.Plain);

        for (var at = 0.0; at < 1800; at += 0.2)
        {
            Assert.Equal(ReadingMarks.None, reader.Take(Celsius(at, step * Math.Round((20 + (at * celsiusPerMinute / 60)) / step))).Marks);
        }
    }

    [Fact]
    public void A_ramp_that_comes_to_rest_is_not_stuck()
    {
        var reader = new ThermometerReader(ThermometerChain.Plain);

        // Approaches 100 °C with a time constant of 5 min, read to 0.1 °C; the last steps are minutes apart.
        for (var at = 0.0; at < 1500; at += 0.2)
        {
            Assert.Equal(ReadingMarks.None, reader.Take(Celsius(at, Math.Round(100 - (80 * Math.Exp(-at / 300)), 1))).Marks);
        }
    }

    [Fact]
    public void A_jump_is_marked_until_it_has_lasted_long_enough_to_be_real()
    {
        var reader = new ThermometerReader(ThermometerChain.Plain);
        Feed(reader, 0, 20, 100);

        var jumped = Enumerable.Range(0, 120).Select(tenth => reader.Take(Celsius(20 + (tenth / 10.0), 180 + (tenth % 2 * 0.1))).Marks).ToArray();

        Assert.All(jumped[..100], marks => Assert.Equal(ReadingMarks.ImpossibleJump, marks));
        Assert.Equal(ReadingMarks.StepTaken, jumped[100]);
        Assert.All(jumped[101..], marks => Assert.Equal(ReadingMarks.None, marks));
    }

    [Fact]
    public void A_thermocouple_whose_emf_vanishes_at_once_is_short_circuited_until_it_gives_one_again()
    {
        var reader = new ThermometerReader(TypeK);
        for (var at = 0.0; at < 20; at += 0.1)
        {
            reader.Take(Row(at, 7138 + at, junctionCelsius: 25));
        }

        for (var at = 20.0; at < 50; at += 0.1)
        {
            var marks = reader.Take(Row(at, (at * 10) % 3, junctionCelsius: 25)).Marks;
            Assert.True((marks & ReadingMarks.ShortCircuit) != 0, $"{at}: {marks}");
        }

        var again = Enumerable.Range(0, 120).Select(tenth => reader.Take(Row(50 + (tenth / 10.0), 7138 + tenth, junctionCelsius: 25)).Marks).ToArray();
        Assert.All(again[..100], marks => Assert.Equal(ReadingMarks.ImpossibleJump, marks));
        Assert.Equal(ReadingMarks.StepTaken, again[100]);
        Assert.All(again[101..], marks => Assert.Equal(ReadingMarks.None, marks));
    }

    [Fact]
    public void A_silent_thermometer_is_stale_while_other_readings_come()
    {
        var reader = new ThermometerReader(ThermometerChain.Plain);
        reader.Take(Celsius(0, 20));

        Assert.Equal(ReadingMarks.None, reader.Take(Detector(5)).Marks);
        Assert.Equal(ReadingMarks.Stale, reader.Take(Detector(5.1)).Marks);
        Assert.Equal(ReadingMarks.None, reader.Take(Celsius(5.2, 20.1)).Marks);
    }

    [Fact]
    public void A_certified_correction_is_added_and_a_reading_outside_the_span_is_flagged()
    {
        var reader = new ThermometerReader(ThermometerChain.Plain with { Calibration = Certificate });

        var inside = reader.Take(Celsius(0, 150));
        Assert.Equal(150.15, inside.TemperatureCelsius, tolerance: 1e-12);
        Assert.Equal(ReadingMarks.None, inside.Marks);
        Assert.Equal(150, inside.Signal);
        var outside = new ThermometerReader(ThermometerChain.Plain with { Calibration = Certificate }).Take(Celsius(1, 210));
        Assert.Equal(210.2, outside.TemperatureCelsius, tolerance: 1e-12);
        Assert.Equal(ReadingMarks.OutsideCalibration, outside.Marks);
        Assert.True(outside.HasSoundTemperature);
    }

    [Fact]
    public void Lag_is_corrected_only_when_asked_for_and_by_time_constant_times_rate()
    {
        const double rate = 5.5 / 60;
        var off = new ThermometerReader(ThermometerChain.Plain with { Lag = new SensorLag(10, false) });
        var on = new ThermometerReader(ThermometerChain.Plain with { Lag = new SensorLag(10, true) });
        ReadingRow plain = default, corrected = default;
        for (var at = 0.0; at < 60; at += 0.1)
        {
            plain = off.Take(Celsius(at, 100 + (rate * at)));
            corrected = on.Take(Celsius(at, 100 + (rate * at)));
            Assert.Equal(at > 13 ? ReadingMarks.None : corrected.Marks, corrected.Marks);
        }

        Assert.Equal(100 + (rate * plain.AtSeconds), plain.TemperatureCelsius);
        Assert.Equal(plain.TemperatureCelsius + (10 * rate), corrected.TemperatureCelsius, tolerance: 1e-6);
        Assert.Equal(plain.TemperatureCelsius, corrected.Signal);
        Assert.Equal(ReadingMarks.LagUncorrected, new ThermometerReader(ThermometerChain.Plain with { Lag = new SensorLag(10, true) }).Take(Celsius(0, 20)).Marks);
    }

    [Fact]
    public void The_stem_of_a_glass_thermometer_is_corrected_by_its_emergent_degrees()
    {
        // 0.00016 × 100 × (200 − 40) = 2.56 °C: apparent expansion of mercury in glass 0.00016 per °C (ASTM E77; value from memory).
        var chain = ThermometerChain.Plain with { Sensor = new LiquidInGlassSensor(ThermometricLiquid.Mercury, 100, 40, null) };

        Assert.Equal(202.56, new ThermometerReader(chain).Take(Celsius(0, 200)).TemperatureCelsius, tolerance: 0.01);
    }

    [Fact]
    public void Plain_readings_pass_unchanged_and_nothing_is_allocated_for_them()
    {
        var row = Celsius(0, 20.123456789);
        Assert.Equal(row, new ThermometerReader(ThermometerChain.Plain).Take(row));

        Assert.Equal(0, Allocations.LeastBytes(() =>
        {
            var reader = new ThermometerReader(TypeK);
            var plain = new ThermometerReader(ThermometerChain.Plain);
            plain.Take(row);
            reader.Take(Row(0, 7138, junctionCelsius: 25));
            return () =>
            {
                for (var index = 1; index < 20_000; index++)
                {
                    plain.Take(Celsius(index / 50.0, 20 + (index * 0.0001)));
                    reader.Take(Row(index / 50.0, 7138 + (index % 3), junctionCelsius: 25));
                }
            };
        }));
    }

    [Fact]
    public void A_value_that_no_temperature_can_have_is_kept_as_the_signal_it_was()
    {
        var read = new ThermometerReader(ThermometerChain.Plain).Take(Celsius(0, 1e5));

        Assert.Equal((ReadingMarks.OutOfRange, false, 1e5), (read.Marks, read.Has(RowChannels.Temperature), read.Signal));
        Assert.True(read.Has(RowChannels.Signal));
    }

    [Fact]
    public void A_time_that_does_not_go_forward_is_converted_and_disturbs_nothing_else()
    {
        var (straight, disturbed) = (new ThermometerReader(TypeK), new ThermometerReader(TypeK));
        for (var index = 0; index < 3000; index++)
        {
            var row = Row(index / 10.0, 5000 + index, junctionCelsius: 25);
            var expected = straight.Take(row);
            Assert.Equal(expected, disturbed.Take(row));
            if (index % 7 == 3)
            {
                var back = disturbed.Take(Row((index - 50) / 10.0, 9000));
                Assert.True(back.Has(RowChannels.Temperature));
            }
        }
    }

    private static readonly CalibrationCertificate Certificate = new()
    {
        Number = "invented 1",
        CalibratedOn = new(2026, 3, 2),
        DueOn = new(2027, 3, 2),
        Points = [new(100, 0.1, 0.3), new(200, 0.2, 0.3)],
    };

    private static void Feed(ThermometerReader reader, double from, double to, double celsius)
    {
        for (var at = from; at < to; at += 0.1)
        {
            reader.Take(Celsius(at, celsius + (0.1 * (Math.Round(at * 10) % 2))));
        }
    }

    private static ReadingRow Row(double at, double? signal, double? junctionCelsius = null) =>
        new(at, (signal is null ? 0 : RowChannels.Signal) | (junctionCelsius is null ? 0 : RowChannels.Junction), 0, 0, false) { Signal = signal ?? 0, JunctionCelsius = junctionCelsius ?? 0 };

    private static ReadingRow Celsius(double at, double celsius) => new(at, RowChannels.Temperature, celsius, 0, false);

    private static ReadingRow Detector(double at) => new(at, RowChannels.Detector, 0, 1, false);
}
