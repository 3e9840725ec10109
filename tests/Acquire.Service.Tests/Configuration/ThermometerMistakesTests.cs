using Acquire.Service.Configuration;
using Acquire.Service.Tests.Sources;
using CsCheck;
using Xunit;
using static Acquire.Service.Tests.Configuration.ThermometerSamples;

namespace Acquire.Service.Tests.Configuration;

public sealed class ThermometerMistakesTests
{
    public static TheoryData<string, string, string> Combinations => new()
    {
        { Wired("uV", "", false), UnitPath, "\"uV\" is a voltage, but testers[0].thermometer has no sensor that gives one; allowed: \"degC\", \"K\", \"degF\", or the sensor \"thermocouple\"" },
        { Described("V", Direct), UnitPath, "or \"transmitter\" with signal \"0-10 V\"" },
        { Described("kohm", Direct), UnitPath, "\"kohm\" is a resistance" },
        { Described("mA", Direct), UnitPath, "\"transmitter\" with signal \"4-20 mA\"" },
        { Described("ohm", Compensated), UnitPath, "\"ohm\" is a resistance, but testers[0].thermometer has a thermocouple, which gives a voltage; allowed: \"uV\", \"mV\", \"V\"" },
        { Described("degC", Compensated), UnitPath, "or the sensor \"direct\" where the tester itself makes a temperature of the signal" },
        { Described("mV", Platinum), UnitPath, "has a platinum resistance sensor, which gives a resistance; allowed: \"ohm\", \"kohm\"" },
        { Described("mA", Ntc), UnitPath, "has a thermistor" },
        { Described("V", Current), UnitPath, "has a 4-20 mA transmitter, which gives a current; allowed: \"mA\"" },
        { Described("mA", Voltage), UnitPath, "allowed: \"V\", \"mV\"" },
        { Described("uV", Voltage), UnitPath, "\"uV\" is a voltage, but" },
        { Described("mV", Glass), UnitPath, "has a liquid-in-glass thermometer, which gives a temperature; allowed: \"degC\", \"K\", \"degF\"" },
        { Described("uV", Measured), Chain + ".sensor.referenceJunction", "given \"measured\", but the tester sends no temperature of it; allowed: a channel \"junction\"" },
        { Described("uV", Fixed, junction: true), JunctionPath, "a thermocouple whose reference junction is not \"measured\"" },
        { Described("uV", Compensated, junction: true), JunctionPath, "a thermocouple whose reference junction is not \"measured\"" },
        { Described("ohm", Platinum, junction: true), JunctionPath, "has a platinum resistance sensor; allowed: a junction only with the sensor \"thermocouple\"" },
        { Wired("degC", "", true), JunctionPath, "no sensor but \"direct\"" },
        { Described("mA", Current.Replace("\"lowCelsius\": 0", "\"lowCelsius\": 400", StringComparison.Ordinal)), Chain + ".sensor.highCelsius", "given 400 °C with lowCelsius 400 °C" },
        { Described("ohm", Ntc.Replace("\"b\": 2", "\"b\": -2", StringComparison.Ordinal)), Chain + ".sensor", "b must be above 0" },
        { Described("ohm", Ntc.Replace("8.775468e-8", "-1e-6", StringComparison.Ordinal)), Chain + ".sensor", "one temperature belongs to several resistances" },
        { Described("degC", Direct, "\"limits\": { \"coldestCelsius\": 600, \"hottestCelsius\": 600 }"), Chain + ".limits.coldestCelsius", "given 600 °C with hottestCelsius 600 °C" },
        { Described("uV", Compensated, "\"limits\": { \"converterLow\": 10, \"converterHigh\": -10 }"), Chain + ".limits.converterLow", "given 10 µV with converterHigh -10 µV" },
        { Described("degC", Direct, Certificate().Replace("2027-03-02", "2026-03-02", StringComparison.Ordinal)), Chain + ".calibration.dueOn", "not later than calibratedOn" },
        { Described("degC", Direct, Certificate(Point(100, 0) + "," + Point(100, 0))), Chain + ".calibration.points[1].readingCelsius", "not above 100" },
        { Described("degC", Direct, Certificate(Point(100, 0) + "," + Point(110, -20))), Chain + ".calibration.points[1].correctionCelsius", "not above" },
        { Described("degC", Direct, Certificate(Point(100, 0).Replace("0.2", "0", StringComparison.Ordinal))), Chain + ".calibration.points[0].expandedUncertaintyCelsius", "not above 0" },
    };

    public static TheoryData<string, string, string> Values => new()
    {
        { Wired("uv", "", false), UnitPath, "did you mean \"uV\"?" },
        { Wired("Ohm", "", false), UnitPath, "one of \"degC\", \"K\", \"degF\", \"uV\", \"mV\", \"V\", \"ohm\", \"kohm\", \"mA\"; did you mean \"ohm\"?" },
        { Wired("degC", "", true).Replace("\"junction\", \"unit\": \"degC\"", "\"junction\", \"unit\": \"mV\"", StringComparison.Ordinal), "testers[0].source.columns[2].unit", "one of \"degC\", \"K\", \"degF\"" },
        { Wired("uV", "", true).Replace("\"columns\": [", "\"columns\": [ { \"channel\": \"junction\", \"unit\": \"degC\" },", StringComparison.Ordinal), "testers[0].source.columns", "given 2 channels \"junction\"; allowed: at most one" },
        { Wired("degC", "\"thermometer\": 5,", false), Chain, "given 5; allowed: an object" },
        { Wired("degC", "\"thermometer\": { },", false), Chain + ".sensor", "is missing; allowed: an object" },
        { Described("degC", Direct, "\"unit\": \"degC\""), Chain + ".unit", "the unit is that of the temperature channel, testers[0].source.columns[1].unit; allowed: leave it out here" },
        { Described("degC", Direct, "\"limit\": {}"), Chain + ".limit", "did you mean \"limits\"? Allowed here: sensor, calibration, lag, limits" },
        { Described("uV", "\"kind\": \"thermocoupel\""), Chain + ".sensor.kind", "did you mean \"thermocouple\"?" },
        { Described("uV", Compensated.Replace("\"S\"", "\"s\"", StringComparison.Ordinal)), Chain + ".sensor.type", "one of \"B\", \"E\", \"J\", \"K\", \"N\", \"R\", \"S\", \"T\"" },
        { Described("uV", Compensated.Replace("compensated", "mesured", StringComparison.Ordinal)), Chain + ".sensor.referenceJunction", "did you mean \"measured\"?" },
        { Described("uV", Fixed.Replace("\"junctionCelsius\": 0", "\"junctionCelsius\": 81", StringComparison.Ordinal)), Chain + ".sensor.junctionCelsius", "a number from -20 to 80 °C" },
        { Described("uV", Fixed.Replace(", \"junctionCelsius\": 0", "", StringComparison.Ordinal)), Chain + ".sensor.junctionCelsius", "is missing" },
        { Described("uV", Compensated + ", \"junctionCelsius\": 0"), Chain + ".sensor.junctionCelsius", "only a \"fixed\" reference junction" },
        { Described("uV", Compensated + ", \"wires\": 2"), Chain + ".sensor.wires", "no such key" },
        { Described("ohm", "\"kind\": \"platinum\""), Chain + ".sensor.wires", "is missing; allowed: a whole number from 2 to 4" },
        { Described("ohm", Platinum + ", \"r0Ohms\": 9"), Chain + ".sensor.r0Ohms", "a number from 10 to 10000 ohm" },
        { Described("ohm", Platinum + ", \"leadOhms\": 11"), Chain + ".sensor.leadOhms", "a number from -10 to 10 ohm" },
        { Described("ohm", Platinum.Replace('3', '2') + ", \"leadOhms\": -0.1"), Chain + ".sensor.leadOhms", "a number from 0 to 100 ohm" },
        { Described("ohm", Platinum.Replace('3', '4') + ", \"leadOhms\": 0.1"), Chain + ".sensor.leadOhms", "four wires read past their leads" },
        { Described("ohm", Platinum + ", \"tolerance\": \"D\""), Chain + ".sensor.tolerance", "one of \"AA\", \"A\", \"B\", \"C\"" },
        { Described("ohm", "\"kind\": \"thermistor\""), Chain + ".sensor.a", "either a, b and c, or points" },
        { Described("ohm", "\"kind\": \"thermistor\", \"a\": 1e-3, \"b\": 2e-4"), Chain + ".sensor.c", "is missing; allowed: a number from -1 to 1 1/K" },
        { Described("ohm", Ntc + ", \"points\": []"), Chain + ".sensor.b", "given beside points" },
        { Described("ohm", "\"kind\": \"thermistor\", \"points\": [ {}, {} ]"), Chain + ".sensor.points", "a list of 3 objects" },
        { Described("ohm", Points("{ \"ohms\": -5, \"celsius\": 25 }")), Chain + ".sensor.points[1].ohms", "allowed: a number from" },
        { Described("ohm", Points("{ \"ohms\": 40000, \"celsius\": 25 }")), Chain + ".sensor.points[1]", "must be lower where it is warmer" },
        { Described("mA", "\"kind\": \"transmitter\", \"signal\": \"4-20mA\", \"lowCelsius\": 0, \"highCelsius\": 400"), Chain + ".sensor.signal", "did you mean \"4-20 mA\"?" },
        { Described("mA", "\"kind\": \"transmitter\", \"signal\": \"4-20 mA\", \"highCelsius\": 400"), Chain + ".sensor.lowCelsius", "is missing" },
        { Described("degC", Glass.Replace("mercury", "alcohol", StringComparison.Ordinal)), Chain + ".sensor.liquid", "one of \"mercury\", \"organic\"" },
        { Described("degC", Glass.Replace("\"stemCelsius\": 45", "\"stemCelsius\": 500", StringComparison.Ordinal)), Chain + ".sensor.stemCelsius", "a number from -60 to 400 °C" },
        { Described("degC", Direct, Certificate().Replace("2026-03-02", "02.03.2026", StringComparison.Ordinal)), Chain + ".calibration.calibratedOn", "a day such as \"2026-03-02\"" },
        { Described("degC", Direct, Certificate().Replace("2026-03-02", "2026-02-30", StringComparison.Ordinal)), Chain + ".calibration.calibratedOn", "given \"2026-02-30\"" },
        { Described("degC", Direct, Certificate("")), Chain + ".calibration.points", "a list of 1 to 200 objects" },
        { Described("degC", Direct, Certificate(Point(100, 51))), Chain + ".calibration.points[0].correctionCelsius", "a number from -50 to 50 °C" },
        { Described("degC", Direct, Certificate(more: "\"warnDays\": 366,")), Chain + ".calibration.warnDays", "from 0 to 365" },
        { Described("degC", Direct, Certificate(more: "\"coverageFactor\": 0.5,")), Chain + ".calibration.coverageFactor", "from 1 to 4" },
        { Described("degC", Direct, Certificate(more: "\"interpolation\": \"cubic\",")), Chain + ".calibration.interpolation", "one of \"linear\", \"monotone-cubic\"" },
        { Described("degC", Direct, "\"lag\": { \"correct\": true }"), Chain + ".lag.timeConstantSeconds", "is missing, but the lag is to be corrected; allowed: a number from 0.01 to 300 s" },
        { Described("degC", Direct, "\"lag\": { \"timeConstantSeconds\": 0 }"), Chain + ".lag.timeConstantSeconds", "from 0.01 to 300 s" },
        { Described("degC", Direct, "\"limits\": { \"stuckAfterSeconds\": 1 }"), Chain + ".limits.stuckAfterSeconds", "from 5 to 3600 s" },
        { Described("degC", Direct, "\"limits\": { \"staleAfterSeconds\": 0 }"), Chain + ".limits.staleAfterSeconds", "from 0.5 to 300 s" },
        { Described("degC", Direct, "\"limits\": { \"converterHigh\": 1e10 }"), Chain + ".limits.converterHigh", "in the unit of the signal" },
    };

    [Theory]
    [MemberData(nameof(Combinations))]
    [MemberData(nameof(Values))]
    public void Mistake_is_reported_with_its_place_and_what_is_allowed(string json, string path, string words)
    {
        Assert.False(ConfigFile.TryParse(json, out var config, out var errors));

        Assert.Null(config);
        Assert.True(errors.Any(error => error.Path == path && error.Message.Contains(words, StringComparison.Ordinal)), string.Join("\n", errors));
    }

    [Theory]
    [MemberData(nameof(Combinations))]
    public void Combination_that_cannot_be_is_one_mistake(string json, string path, string words)
    {
        Assert.False(ConfigFile.TryParse(json, out _, out var errors));

        var error = Assert.Single(errors);
        Assert.Equal(path, error.Path);
        Assert.Contains(words, error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Mistake_in_a_topic_s_unit_names_the_topic_however_many_others_are_wrong()
    {
        var json = ConfigSamples.Mqtt("""{ "filter": "x", "payload": "nonsense" }, { "filter": "a", "payload": "json", "fields": [ { "path": "e", "channel": "temperature", "unit": "mV" } ] }""");

        Assert.False(ConfigFile.TryParse(json, out _, out var errors));

        Assert.Equal(["testers[0].source.topics[0].payload", "testers[0].source.topics[1].fields[0].unit"], errors.Select(error => error.Path));
    }

    [Fact]
    public void Whatever_the_text_is_reading_never_throws()
    {
        var valid = Described("uV", Measured, Certificate() + """, "lag": { "timeConstantSeconds": 3 }, "limits": { "converterLow": -10000 }""", junction: true);
        var mutated =
            from position in Gen.Int[0, valid.Length - 1]
            from length in Gen.Int[0, 6]
            from piece in Gen.OneOf(Gen.String, SourceSamples.OneOf("null", "[]", "{}", "1e999", "\"\\ud800\"", "\"", "-1", ",", ":", "\"uV\"", "\"K\""))
            select string.Concat(valid.AsSpan(0, position), piece, valid.AsSpan(Math.Min(valid.Length, position + length)));

        mutated.Sample(json =>
        {
            var read = ConfigFile.TryParse(json, out var config, out var errors);
            return read ? config is not null && errors.Count == 0 : config is null && errors.Count > 0;
        });
    }

    private static string Point(double reading, double correction) =>
        FormattableString.Invariant($"{{ \"readingCelsius\": {reading}, \"correctionCelsius\": {correction}, \"expandedUncertaintyCelsius\": 0.2 }}");

    private static string Points(string second) =>
        $$""" "kind": "thermistor", "points": [ { "ohms": 32650, "celsius": 0 }, {{second}}, { "ohms": 679.8, "celsius": 100 } ] """;
}
