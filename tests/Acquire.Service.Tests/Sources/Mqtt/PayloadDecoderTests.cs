using System.Buffers;
using System.Text;
using Acquire.Core;
using Acquire.Core.Readings;
using Acquire.Service.Configuration;
using Acquire.Service.Sources.Mqtt;
using Acquire.Service.Tests.Sources.Serial;
using CsCheck;
using Xunit;

namespace Acquire.Service.Tests.Sources.Mqtt;

public sealed class PayloadDecoderTests
{
    private const RowChannels All = RowChannels.Temperature | RowChannels.Detector | RowChannels.Flame;
    private const string Valid = """{"time_s":12.5,"temperature_c":182.4,"ignition":{"detector":0.031},"flame":true}""";

    [Fact]
    public void Object_becomes_a_row()
    {
        Assert.Equal([new ReadingRow(12.5, All, 182.4, 0.031, true)], Rows(Json(), Valid));
    }

    [Fact]
    public void Array_becomes_rows_in_order()
    {
        var rows = Rows(Json(), """[ {"time_s":1,"temperature_c":20}, {"time_s":2,"temperature_c":21,"flame":"OFF"} ]""");

        Assert.Equal([new(1, RowChannels.Temperature, 20, 0, false), new(2, RowChannels.Temperature | RowChannels.Flame, 21, 0, false)], rows);
    }

    [Theory]
    [InlineData("1", true)]
    [InlineData("0", false)]
    [InlineData("false", false)]
    [InlineData("\"On\"", true)]
    public void Flame_may_be_a_number_a_truth_or_a_word(string flame, bool over)
    {
        var row = Assert.Single(Rows(Json(), $$"""{"time_s":1,"temperature_c":20,"flame":{{flame}}}"""));

        Assert.Equal(over, row.FlameOver);
        Assert.True(row.Has(RowChannels.Flame));
    }

    [Fact]
    public void Time_may_be_counted_from_1970()
    {
        // IEEE Std 1003.1, 4.19: 2026-11-26T16:49:09.603Z in seconds since the Epoch.
        var row = Assert.Single(Rows(Json(), """{"time_s":1795711749.603,"temperature_c":20}"""));

        Assert.Equal(1795711749.603, row.AtSeconds);
        Assert.Equal(new DateTimeOffset(2026, 11, 26, 16, 49, 9, 603, TimeSpan.Zero), DateTimeOffset.UnixEpoch.AddMilliseconds(Math.Round(row.AtSeconds * 1000)));
    }

    [Fact]
    public void Optional_field_that_is_null_has_no_value()
    {
        var row = Assert.Single(Rows(Json(), """{"time_s":1,"temperature_c":20,"ignition":{"detector":null}}"""));

        Assert.Equal(RowChannels.Temperature, row.Present);
    }

    [Theory]
    [InlineData("", "payload", "not JSON")]
    [InlineData("{", "payload", "not JSON")]
    [InlineData("7", "payload", "an object or an array of objects")]
    [InlineData("[]", "payload", "a list of 0")]
    [InlineData("[7]", "[0]", "allowed: an object")]
    [InlineData("{\"time_s\":1,\"time_s\":2,\"temperature_c\":20}", "payload", "not JSON")]
    [InlineData("{\"temperature_c\":20}", "time_s", "is missing")]
    [InlineData("{\"time_s\":1}", "temperature_c", "is missing")]
    [InlineData("{\"time_s\":1,\"temperature_c\":null}", "temperature_c", "given null")]
    [InlineData("{\"time_s\":1,\"temperature_c\":\"20\"}", "temperature_c", "given \"20\"; allowed: a number")]
    [InlineData("{\"time_s\":1,\"temperature_c\":1e999}", "temperature_c", "allowed: -273.15 to 1500 °C")]
    [InlineData("{\"time_s\":1,\"temperature_c\":NaN}", "payload", "not JSON")]
    [InlineData("{\"time_s\":-1,\"temperature_c\":20}", "time_s", "allowed: 0 to 10000000000 s")]
    [InlineData("{\"time_s\":1,\"temperature_c\":20,\"flame\":2}", "flame", "0 or 1")]
    [InlineData("{\"time_s\":1,\"temperature_c\":20,\"flame\":\"\\ud800\"}", "flame", "0 or 1")]
    [InlineData("{\"time_s\":1,\"temperature_c\":20,\"ignition\":{\"detector\":1e999}}", "ignition.detector", "a finite number")]
    public void Mistake_names_the_field_and_what_is_allowed(string payload, string path, string words)
    {
        var (rows, errors) = Decode(Json(), Encoding.UTF8.GetBytes(payload));

        Assert.Empty(rows);
        var error = Assert.Single(errors);
        Assert.Equal(path, error.Path);
        Assert.Contains(words, error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Rows_around_a_mistake_are_kept()
    {
        var (rows, errors) = Decode(Json(), """[{"time_s":1,"temperature_c":20},{"time_s":2,"temperature_c":9000},{"time_s":3,"temperature_c":21}]"""u8.ToArray());

        Assert.Equal([1.0, 3.0], rows.Select(row => row.AtSeconds));
        Assert.Equal("[1].temperature_c", Assert.Single(errors).Path);
    }

    [Fact]
    public void Several_rows_without_a_time_are_refused()
    {
        var decoder = PayloadDecoder.For(SourceSamples.Mqtt("""{ "filter": "a", "payload": "json", "fields": [ { "path": "t", "channel": "temperature", "unit": "K" } ] }""").Topics[0]);

        Assert.Equal(77, Assert.Single(Rows(decoder, """[{"t":300}]""")).AtSeconds);
        Assert.Contains("the same moment", Assert.Single(Decode(decoder, """[{"t":300},{"t":301}]"""u8.ToArray()).Errors).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Number_becomes_a_row_at_its_arrival()
    {
        Assert.Equal([new ReadingRow(77, RowChannels.Temperature, 21.5, 0, false)], Rows(Number("degC"), " 21.5\r\n"));
    }

    [Theory]
    [InlineData("294.65", "K", 294.65)]
    [InlineData("-40", "°F", -40)]
    public void Number_that_is_not_in_degrees_Celsius_becomes_a_signal_as_sent(string payload, string unit, double signal)
    {
        Assert.Equal([new ReadingRow(77, RowChannels.Signal, 0, 0, false) { Signal = signal }], Rows(Number(unit), payload));
    }

    [Fact]
    public void Signal_and_junction_may_come_in_topics_of_their_own()
    {
        var topics = SourceSamples.Mqtt(
            SourceSamples.NumberTopic("a", "mV") + """, { "filter": "b", "payload": "number", "channel": "junction", "unit": "K" }""", SourceSamples.MeasuredJunction).Topics;

        Assert.Equal([new ReadingRow(77, RowChannels.Signal, 0, 0, false) { Signal = -0.25 }], Rows(PayloadDecoder.For(topics[0]), "-0.25"));
        Assert.Equal([new ReadingRow(77, RowChannels.Junction, 0, 0, false) { JunctionCelsius = 0 }], Rows(PayloadDecoder.For(topics[1]), "273.15"));
        Assert.Equal("given 2000000000 mV; allowed: -1000000000 to 1000000000 mV", Assert.Single(Decode(PayloadDecoder.For(topics[0]), "2e9"u8.ToArray()).Errors).Message);
    }

    [Fact]
    public void Object_may_hold_signal_and_junction()
    {
        Assert.Equal(
            [new ReadingRow(1, RowChannels.Signal | RowChannels.Junction, 0, 0, false) { Signal = 9343.5, JunctionCelsius = 23.5 }],
            Rows(JsonSignal(), """{"t":1,"emf":9343.5,"junction":23.5}"""));
    }

    [Fact]
    public void Object_with_nothing_but_a_junction_is_a_row()
    {
        Assert.Equal([new ReadingRow(1, RowChannels.Junction, 0, 0, false) { JunctionCelsius = 23.5 }], Rows(JsonSignal(), """{"t":1,"junction":23.5}"""));
    }

    [Theory]
    [InlineData("""{"t":1,"emf":1e10}""", "emf", "given 10000000000 µV; allowed: -1000000000 to 1000000000 µV")]
    [InlineData("""{"t":1,"emf":1e999}""", "emf", "allowed: -1000000000 to 1000000000 µV")]
    [InlineData("""{"t":1,"emf":"9"}""", "emf", "allowed: a number")]
    [InlineData("""{"t":1,"emf":9,"junction":-274}""", "junction", "given -274 °C; allowed: -273.15 to 1500 °C")]
    public void Signal_or_junction_out_of_range_names_the_field(string payload, string path, string words)
    {
        var (rows, errors) = Decode(JsonSignal(), Encoding.UTF8.GetBytes(payload));

        Assert.Empty(rows);
        var error = Assert.Single(errors);
        Assert.Equal(path, error.Path);
        Assert.Contains(words, error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Object_may_tell_of_the_tester_and_the_bench()
    {
        const RowChannels told = RowChannels.Temperature | RowChannels.Command | RowChannels.Heater | RowChannels.Stirring | RowChannels.Lit | RowChannels.Air | RowChannels.Ambient;

        Assert.Equal(
            [new ReadingRow(77, told, 21.5, 0, false) { Command = 3, HeaterFraction = 0.5, Stirring = true, AirMetresPerSecond = 0.1, AmbientCelsius = 23 }],
            Rows(JsonBench(), """{"t":21.5,"command":3,"heater":0.5,"stirring":true,"lit":0,"air":0.1,"room":23}"""));
    }

    [Fact]
    public void A_second_detector_may_be_a_field_of_an_object_or_a_topic_of_its_own()
    {
        var topic = SourceSamples.Mqtt(SourceSamples.NumberTopic("a") + """, { "filter": "b", "payload": "number", "channel": "detector" }, { "filter": "c", "payload": "number", "channel": "second-detector" } """).Topics[2];

        Assert.Equal(
            [
                new ReadingRow(77, RowChannels.Temperature | RowChannels.Detector | RowChannels.SecondDetector, 21.5, 0.2, false) { SecondDetector = -14.5 },
            ],
            Rows(JsonTwoDetectors(), """{"t":21.5,"detector":0.2,"second_detector":-14.5}"""));
        Assert.Equal([new ReadingRow(77, RowChannels.Temperature | RowChannels.Detector, 21.5, 0.2, false)], Rows(JsonTwoDetectors(), """{"t":21.5,"detector":0.2}"""));
        Assert.Equal([new ReadingRow(77, RowChannels.SecondDetector, 0, 0, false) { SecondDetector = 14.5 }], Rows(PayloadDecoder.For(topic), "14.5"));
    }

    [Theory]
    [InlineData("""{"t":21.5,"detector":1,"second_detector":1e999}""", "second_detector", "allowed: a finite number")]
    [InlineData("""{"t":21.5,"detector":1,"second_detector":"1"}""", "second_detector", "allowed: a number")]
    [InlineData("""{"t":21.5,"detector":1,"second_detector":1,"second_detector":2}""", "payload", "JSON")]
    public void A_second_detector_that_is_no_finite_number_or_comes_twice_is_refused_by_its_field(string payload, string path, string words)
    {
        var (rows, errors) = Decode(JsonTwoDetectors(), Encoding.UTF8.GetBytes(payload));

        Assert.Empty(rows);
        Assert.Equal(path, Assert.Single(errors).Path);
        Assert.Contains(words, errors[0].Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("""{"t":21.5,"command":null}""")]
    [InlineData("""{"t":21.5,"command":null,"heater":null,"lit":null}""")]
    public void A_tester_that_obeys_no_command_says_null(string payload) =>
        Assert.Equal([new ReadingRow(77, RowChannels.Temperature, 21.5, 0, false)], Rows(JsonBench(), payload));

    [Theory]
    [InlineData("""{"t":21.5}""", "command", "is missing")]
    [InlineData("""{"t":21.5,"command":-1}""", "command", "a whole number from 0 to 9223372036854775807, or null while the tester obeys no command")]
    [InlineData("""{"t":21.5,"command":1.5}""", "command", "a whole number")]
    [InlineData("""{"t":21.5,"command":"1"}""", "command", "a whole number")]
    [InlineData("""{"t":21.5,"command":1,"heater":1.01}""", "heater", "given 1.01; allowed: 0 to 1")]
    [InlineData("""{"t":21.5,"command":1,"lit":2}""", "lit", "allowed: 0 or 1")]
    [InlineData("""{"t":21.5,"command":1,"air":-1}""", "air", "allowed: 0 to 20 m/s")]
    [InlineData("""{"t":21.5,"command":1,"room":81}""", "room", "allowed: -40 to 80 °C")]
    public void What_cannot_be_told_of_a_bench_is_refused_by_its_field(string payload, string path, string words)
    {
        var (rows, errors) = Decode(JsonBench(), Encoding.UTF8.GetBytes(payload));

        Assert.Empty(rows);
        Assert.Equal(path, Assert.Single(errors).Path);
        Assert.Contains(words, errors[0].Message, StringComparison.Ordinal);
    }

    [Fact]
    public void What_is_told_of_a_bench_may_come_in_topics_of_its_own()
    {
        var topics = SourceSamples.Mqtt(SourceSamples.NumberTopic("a") + """
            , { "filter": "b", "payload": "number", "channel": "command" }, { "filter": "c", "payload": "number", "channel": "stirrer", "unit": "r/min" }, { "filter": "d", "payload": "number", "channel": "lit" }
            """).Topics;

        Assert.Equal([new ReadingRow(77, RowChannels.Command, 0, 0, false) { Command = 12 }], Rows(PayloadDecoder.For(topics[1]), "12\n"));
        Assert.Equal([new ReadingRow(77, RowChannels.Stirrer, 0, 0, false) { StirrerRevolutionsPerMinute = 90 }], Rows(PayloadDecoder.For(topics[2]), "90"));
        Assert.Equal([new ReadingRow(77, RowChannels.Lit, 0, 0, false) { Lit = true }], Rows(PayloadDecoder.For(topics[3]), "on"));
        Assert.Equal("given \"\"; allowed: a whole number from 0 to 9223372036854775807", Assert.Single(Decode(PayloadDecoder.For(topics[1]), []).Errors).Message);
    }

    [Theory]
    [InlineData("")]
    [InlineData("NaN")]
    [InlineData("21,5")]
    [InlineData("21.5 degC")]
    [InlineData("9000")]
    [InlineData("0000000000000000000000000000000000000000000000000000000000000000021.5")]
    public void Payload_that_is_no_number_in_range_is_refused(string payload)
    {
        var (rows, errors) = Decode(Number("degC"), Encoding.UTF8.GetBytes(payload));

        Assert.Empty(rows);
        Assert.Contains("allowed", Assert.Single(errors).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Whatever_the_bytes_are_decoding_never_throws_and_rows_are_always_in_range()
    {
        var valid = Encoding.UTF8.GetBytes(Valid);
        var mutated =
            from position in Gen.Int[0, valid.Length - 1]
            from length in Gen.Int[0, 6]
            from piece in Gen.OneOf(Gen.Byte.Array[0, 6], SourceSamples.OneOf("null", "NaN", "1e999", "-1e308", "[", "{", "\"\\ud800\"", "\"\\udc00\":1,", ",").Select(Encoding.UTF8.GetBytes))
            select valid[..position].Concat(piece).Concat(valid[Math.Min(valid.Length, position + length)..]).ToArray();
        PayloadDecoder[] decoders = [Json(), Number("degC"), Number("K"), JsonSignal(), JsonBench(), JsonTwoDetectors()];

        Gen.OneOf(mutated, Gen.Byte.Array).Sample(
            payload => decoders.All(decoder =>
            {
                var (rows, errors) = Decode(decoder, payload);
                return rows.Count + errors.Count > 0 && rows.TrueForAll(LineDecoderTests.IsInRange);
            }),
            iter: 2000);
    }

    private static PayloadDecoder Json() => PayloadDecoder.For(SourceSamples.Mqtt(SourceSamples.JsonTopic("a")).Topics[0]);

    private static PayloadDecoder JsonSignal() => PayloadDecoder.For(SourceSamples.Mqtt(
        """
        { "filter": "a", "payload": "json", "fields": [ { "path": "t", "channel": "time", "unit": "s" }, { "path": "emf", "channel": "temperature", "unit": "uV", "optional": true },
          { "path": "junction", "channel": "junction", "unit": "degC", "optional": true } ] }
        """, SourceSamples.MeasuredJunction).Topics[0]);

    private static PayloadDecoder JsonBench() => PayloadDecoder.For(SourceSamples.Mqtt(
        """
        { "filter": "a", "payload": "json", "fields": [ { "path": "t", "channel": "temperature", "unit": "degC" }, { "path": "command", "channel": "command" },
          { "path": "heater", "channel": "heater", "unit": "1", "optional": true }, { "path": "stirring", "channel": "stirring", "optional": true }, { "path": "lit", "channel": "lit", "optional": true },
          { "path": "air", "channel": "air", "unit": "m/s", "optional": true }, { "path": "room", "channel": "ambient", "unit": "degC", "optional": true } ] }
        """).Topics[0]);

    private static PayloadDecoder JsonTwoDetectors() => PayloadDecoder.For(SourceSamples.Mqtt(
        """
        { "filter": "a", "payload": "json", "fields": [ { "path": "t", "channel": "temperature", "unit": "degC" }, { "path": "detector", "channel": "detector" },
          { "path": "second_detector", "channel": "second-detector", "optional": true } ] }
        """).Topics[0]);

    private static NumberPayloadDecoder Number(string unit) => new((TopicConfig.Number)SourceSamples.Mqtt(SourceSamples.NumberTopic("a", unit)).Topics[0]);

    private static List<ReadingRow> Rows(PayloadDecoder decoder, string payload)
    {
        var (rows, errors) = Decode(decoder, Encoding.UTF8.GetBytes(payload));
        Assert.Empty(errors);
        return rows;
    }

    private static (List<ReadingRow> Rows, List<InputError> Errors) Decode(PayloadDecoder decoder, byte[] payload)
    {
        var rows = new List<DecodedRow>();
        var errors = new List<InputError>();
        decoder.Decode(new ReadOnlySequence<byte>(payload), 77, rows, errors);
        return (rows.ConvertAll(decoded => decoded.Row), errors);
    }
}
