using System.Text.Json;
using Acquire.Core.Thermometry;
using Acquire.Service.Configuration;
using CsCheck;
using Xunit;

namespace Acquire.Service.Tests.Configuration;

public sealed class ThermometerChainFileTests
{
    private static readonly JsonSerializerOptions Web = new(JsonSerializerDefaults.Web);

    // Thermistors by their resistance at 25 °C and their fall, so that every one is a possible NTC.
    private static readonly Gen<ThermometerSensor> AnySensor = Gen.OneOf(
        Gen.Const<ThermometerSensor>(new DirectSensor()),
        Gen.Select(Gen.Enum<ThermocoupleType>(), Gen.Enum<ReferenceJunctionKind>(), Gen.Double[-20, 80], (type, kind, celsius) =>
            (ThermometerSensor)new ThermocoupleSensor(type, kind, kind == ReferenceJunctionKind.Fixed ? Math.Abs(celsius) : null)),
        Gen.Select(Gen.Double[10, 10_000], Gen.Int[2, 4], Gen.Double[0, 10], Gen.Enum<PlatinumTolerance>(), Gen.Bool, (ohms, wires, lead, tolerance, given) =>
            (ThermometerSensor)new PlatinumSensor(ohms, wires, !given ? null : wires == 4 ? 0 : lead, given ? tolerance : null)),
        Gen.Select(Gen.Double[1e3, 1e5], Gen.Double[2e-4, 4e-4], Gen.Double[0, 2e-7], (ohms, b, c) =>
            (ThermometerSensor)new ThermistorSensor((1 / 298.15) - (b * Math.Log(ohms)) - (c * Math.Pow(Math.Log(ohms), 3)), b, c)),
        Gen.Select(Gen.Enum<TransmitterSignal>(), Gen.Double[-200, 0], Gen.Double[1, 1500], (signal, low, high) => (ThermometerSensor)new TransmitterSensor(signal, low, high)),
        Gen.Select(Gen.Enum<ThermometricLiquid>(), Gen.Double[-100, 400], Gen.Double[0, 100], Gen.Bool, (liquid, immersed, stem, given) =>
            (ThermometerSensor)new LiquidInGlassSensor(liquid, immersed, stem, given ? stem / 2 : null)));

    private static readonly Gen<CalibrationCertificate> AnyCertificate =
        from points in Gen.Select(Gen.Double[0.5, 5], Gen.Double[-0.2, 0.2], Gen.Double[0.001, 1]).Array[1, 200]
        from days in Gen.Int[1, 3000]
        from interpolation in Gen.Enum<CalibrationInterpolation>()
        from factor in Gen.Double[1, 4]
        from number in Gen.Char[' ', '\u02FF'].Array[1, 80]
        select new CalibrationCertificate
        {
            Number = new string([.. number.Select(character => char.IsControl(character) || char.IsWhiteSpace(character) ? '-' : character)]),
            CalibratedOn = new DateOnly(2026, 3, 2),
            DueOn = new DateOnly(2026, 3, 2).AddDays(days),
            WarnDays = days % 366,
            CoverageFactor = factor,
            Interpolation = interpolation,
            Points = [.. points.Select((point, index) => new CalibrationPoint((5 * index) + point.Item1, point.Item2, point.Item3))],
        };

    private static readonly Gen<ThermometerChain> AnyChain =
        from sensor in AnySensor
        from certificate in AnyCertificate.Null()
        from seconds in Gen.Double[0.01, 300]
        from correct in Gen.Bool
        from lagKnown in Gen.Bool
        from converter in Gen.Double[1, 1e9].Nullable()
        select new ThermometerChain
        {
            Unit = UnitFor(sensor),
            Sensor = sensor,
            Calibration = certificate,
            Lag = lagKnown ? new(seconds, correct) : null,
            Limits = new() { ConverterLow = -converter, ConverterHigh = converter, ColdestCelsius = -seconds / 2, StuckAfterSeconds = 5 + seconds },
        };

    [Fact]
    public void What_was_written_is_read_as_an_equal_chain()
    {
        AnyChain.Sample(chain => IsReadBack(chain, ThermometerChainFile.Write(chain)), iter: 300);
    }

    [Fact]
    public void What_a_serializer_writes_with_every_null_is_read_as_an_equal_chain()
    {
        AnyChain.Sample(chain => IsReadBack(chain, JsonSerializer.Serialize(chain, Web)), iter: 300);
    }

    [Fact]
    public void Document_is_indented_and_leaves_out_what_is_not_known()
    {
        var text = ThermometerChainFile.Write(ThermometerChain.Plain with { Unit = ThermometerUnit.Ohm, Sensor = new PlatinumSensor(100, 3, null, PlatinumTolerance.A) });

        Assert.Equal(
            """
            {
              "unit": "ohm",
              "sensor": {
                "kind": "platinum",
                "r0Ohms": 100,
                "wires": 3,
                "tolerance": "A"
              },
              "limits": {
                "junctionColdestCelsius": 5,
                "junctionHottestCelsius": 60,
                "stuckAfterSeconds": 60,
                "staleAfterSeconds": 5
              }
            }
            """.ReplaceLineEndings("\n"),
            text.ReplaceLineEndings("\n"));
    }

    [Theory]
    [InlineData("[]", "$", "allowed: an object")]
    [InlineData("{", "line 1", "not JSON")]
    [InlineData("""{ "sensor": { "kind": "direct" } }""", "unit", "is missing; allowed: one of \"degC\"")]
    [InlineData("""{ "unit": "mV" }""", "sensor", "is missing")]
    [InlineData("""{ "unit": "mV", "sensor": { "kind": "direct" } }""", "unit", "\"mV\" is a voltage, but the thermometer has no sensor that gives one")]
    [InlineData("""{ "unit": "K", "sensor": { "kind": "direct" }, "lag": { "correct": true } }""", "lag.timeConstantSeconds", "is missing")]
    [InlineData("""{ "unit": "K", "sensor": { "kind": "direct" }, "isPlain": false }""", "isPlain", "no such key")]
    [InlineData("""{ "unit": "mA", "sensor": { "kind": "transmitter", "signal": "4-20 mA", "lowCelsius": 9, "highCelsius": 0 } }""", "sensor.highCelsius", "above lowCelsius")]
    public void Mistake_is_reported_with_its_place_and_what_is_allowed(string json, string path, string words)
    {
        Assert.False(ThermometerChainFile.TryParse(json, out var chain, out var errors));

        Assert.Null(chain);
        Assert.True(errors.Any(error => error.Path == path && error.Message.Contains(words, StringComparison.Ordinal)), string.Join("\n", errors));
    }

    [Fact]
    public void Unit_may_be_a_symbol_and_a_measured_junction_is_left_to_the_rules()
    {
        Assert.True(ThermometerChainFile.TryParse($$"""{ "unit": "µV", "sensor": { {{ThermometerSamples.Measured}} } }""", out var chain, out _));

        Assert.Equal(ThermometerUnit.Microvolt, chain.Unit);
        Assert.Empty(ThermometerRules.Check(chain, hasJunction: true));
        Assert.Equal("sensor.referenceJunction", Assert.Single(ThermometerRules.Check(chain, hasJunction: false)).Path);
    }

    private static bool IsReadBack(ThermometerChain chain, string text)
    {
        Assert.True(ThermometerChainFile.TryParse(text, out var read, out var errors), string.Join("\n", errors));
        Assert.Equal(chain.Calibration?.Points ?? [], read.Calibration?.Points ?? []);

        // Lists compare by identity in records; they were compared above.
        var points = chain.Calibration?.Points ?? [];
        return read with { Calibration = read.Calibration is { } found ? found with { Points = points } : null } == chain;
    }

    private static ThermometerUnit UnitFor(ThermometerSensor sensor) => sensor switch
    {
        ThermocoupleSensor => ThermometerUnit.Microvolt,
        PlatinumSensor => ThermometerUnit.Ohm,
        ThermistorSensor => ThermometerUnit.Kiloohm,
        TransmitterSensor { Signal: TransmitterSignal.FourToTwentyMilliampere } => ThermometerUnit.Milliampere,
        TransmitterSensor => ThermometerUnit.Volt,
        _ => ThermometerUnit.Fahrenheit,
    };
}
