using Acquire.Core.Readings;
using Acquire.Core.Thermometry;
using Acquire.Service.Configuration;
using Xunit;
using static Acquire.Service.Tests.Configuration.ThermometerSamples;

namespace Acquire.Service.Tests.Configuration;

public sealed class ThermometerConfigTests
{
    public static TheoryData<string, string, bool, ThermometerUnit, ThermometerSensor> Sensors => new()
    {
        { "degC", Direct, false, ThermometerUnit.Celsius, new DirectSensor() },
        { "°F", Direct, false, ThermometerUnit.Fahrenheit, new DirectSensor() },
        { "\u00B5V", Measured, true, ThermometerUnit.Microvolt, new ThermocoupleSensor(ThermocoupleType.K, ReferenceJunctionKind.Measured, null) },
        { "\u03BCV", Fixed, false, ThermometerUnit.Microvolt, new ThermocoupleSensor(ThermocoupleType.T, ReferenceJunctionKind.Fixed, 0) },
        { "V", Compensated, false, ThermometerUnit.Volt, new ThermocoupleSensor(ThermocoupleType.S, ReferenceJunctionKind.Compensated, null) },
        { "\u03A9", Platinum, false, ThermometerUnit.Ohm, new PlatinumSensor(100, 3, null, null) },
        { "k\u2126", Platinum + ", \"r0Ohms\": 1000, \"leadOhms\": -0.02, \"tolerance\": \"AA\"", false, ThermometerUnit.Kiloohm, new PlatinumSensor(1000, 3, -0.02, PlatinumTolerance.AA) },
        { "ohm", Ntc, false, ThermometerUnit.Ohm, new ThermistorSensor(1.129241e-3, 2.341077e-4, 8.775468e-8) },
        { "mA", Current, false, ThermometerUnit.Milliampere, new TransmitterSensor(TransmitterSignal.FourToTwentyMilliampere, 0, 400) },
        { "mV", Voltage, false, ThermometerUnit.Millivolt, new TransmitterSensor(TransmitterSignal.ZeroToTenVolt, -50, 350) },
        { "K", Glass + ", \"calibratedStemCelsius\": 30", false, ThermometerUnit.Kelvin, new LiquidInGlassSensor(ThermometricLiquid.Mercury, 60, 45, 30) },
    };

    [Theory]
    [MemberData(nameof(Sensors))]
    public void Sensor_is_read_with_the_unit_of_its_channel(string unit, string sensor, bool junction, ThermometerUnit expectedUnit, ThermometerSensor expected)
    {
        var tester = Read(Described(unit, sensor, junction: junction));

        Assert.Equal(ThermometerChain.Plain with { Unit = expectedUnit, Sensor = expected }, tester.Thermometer);
    }

    [Theory]
    [InlineData("degC", "", false, RowChannels.Temperature)]
    [InlineData("K", "", false, RowChannels.Signal)]
    [InlineData("mV", Measured, true, RowChannels.Signal | RowChannels.Junction)]
    public void Channels_are_what_the_source_delivers(string unit, string sensor, bool junction, RowChannels channels)
    {
        var tester = Read(sensor.Length == 0 ? Wired(unit, "", junction) : Described(unit, sensor, junction: junction));

        Assert.Equal(channels, tester.Channels);
    }

    [Fact]
    public void Tester_without_a_thermometer_is_plain_but_for_its_unit()
    {
        Assert.Same(ThermometerChain.Plain.Sensor, Read(Wired("degC", "", false)).Thermometer.Sensor);
        Assert.True(Read(Wired("degC", "", false)).Thermometer.IsPlain);
        Assert.Equal(ThermometerChain.Plain with { Unit = ThermometerUnit.Kelvin }, Read(Wired("K", "\"thermometer\": null,", false)).Thermometer);
    }

    [Fact]
    public void Certificate_lag_and_limits_have_the_documented_defaults()
    {
        var chain = Read(Described("degC", Direct, Certificate() + """, "lag": { "timeConstantSeconds": 3 }, "limits": {}""")).Thermometer;

        Assert.NotNull(chain.Calibration);
        Assert.Equal(("DEMO-0001", new DateOnly(2026, 3, 2), new DateOnly(2027, 3, 2)), (chain.Calibration.Number, chain.Calibration.CalibratedOn, chain.Calibration.DueOn));
        Assert.Equal((30, 2.0, CalibrationInterpolation.Linear), (chain.Calibration.WarnDays, chain.Calibration.CoverageFactor, chain.Calibration.Interpolation));
        Assert.Equal(new CalibrationPoint(200, -0.3, 0.2), Assert.Single(chain.Calibration.Points));
        Assert.Equal(new SensorLag(3, false), chain.Lag);
        Assert.Equal(new ThermometerLimits(), chain.Limits);
    }

    [Fact]
    public void Everything_that_can_be_given_is_taken()
    {
        var more = Certificate(more: """ "warnDays": 14, "coverageFactor": 2.1, "interpolation": "monotone-cubic", """) + """
            , "lag": { "timeConstantSeconds": 0.5, "correct": true },
            "limits": { "coldestCelsius": -20, "hottestCelsius": 420, "converterLow": -10000, "converterHigh": 50000, "stuckAfterSeconds": 30, "staleAfterSeconds": 2 }
            """;
        var chain = Read(Described("uV", Measured, more, junction: true)).Thermometer;

        Assert.NotNull(chain.Calibration);
        Assert.Equal((14, 2.1, CalibrationInterpolation.MonotoneCubic), (chain.Calibration.WarnDays, chain.Calibration.CoverageFactor, chain.Calibration.Interpolation));
        Assert.Equal(new SensorLag(0.5, true), chain.Lag);
        Assert.Equal(
            new ThermometerLimits { ColdestCelsius = -20, HottestCelsius = 420, ConverterLow = -10_000, ConverterHigh = 50_000, StuckAfterSeconds = 30, StaleAfterSeconds = 2 },
            chain.Limits);
    }

    [Fact]
    public void Thermistor_is_found_from_three_points_of_its_table()
    {
        const string Points = """ "kind": "thermistor", "points": [ { "ohms": 32650, "celsius": 0 }, { "ohms": 10000, "celsius": 25 }, { "ohms": 679.8, "celsius": 100 } ] """;

        var sensor = Assert.IsType<ThermistorSensor>(Read(Described("kohm", Points)).Thermometer.Sensor);

        Assert.Equal(0, Thermistor.Celsius(32_650, sensor), 9);
        Assert.Equal(25, Thermistor.Celsius(10_000, sensor), 9);
        Assert.Equal(100, Thermistor.Celsius(679.8, sensor), 9);
    }

    [Fact]
    public void Signal_and_junction_may_stand_in_two_topics()
    {
        const string Topics = """
            { "filter": "a", "payload": "number", "channel": "junction", "unit": "°C" },
            { "filter": "b", "payload": "json", "fields": [ { "path": "emf", "channel": "temperature", "unit": "mV" } ] }
            """;
        var json = ConfigSamples.Mqtt(Topics).Replace("\"source\"", $"\"thermometer\": {{ \"sensor\": {{ {Measured} }} }}, \"source\"", StringComparison.Ordinal);

        var tester = Read(json);

        Assert.Equal(ThermometerUnit.Millivolt, tester.Thermometer.Unit);
        Assert.Equal(RowChannels.Signal | RowChannels.Junction, tester.Channels);
    }

    private static TesterConfig Read(string json)
    {
        Assert.True(ConfigFile.TryParse(json, out var config, out var errors), string.Join("\n", errors));
        return Assert.Single(config.Testers);
    }
}
