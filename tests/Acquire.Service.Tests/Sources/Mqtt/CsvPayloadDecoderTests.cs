using System.Buffers;
using System.Text;
using Acquire.Core;
using Acquire.Core.Readings;
using Acquire.Service.Sources.Mqtt;
using CsCheck;
using Xunit;

namespace Acquire.Service.Tests.Sources.Mqtt;

public sealed class CsvPayloadDecoderTests
{
    private const string Counted = """ { "channel": "sequence" }, { "channel": "time", "unit": "s" }, { "channel": "temperature", "unit": "degC" }, { "channel": "detector" } """;

    [Theory]
    [InlineData("7,12.5,182.4,0.031")]
    [InlineData(" 7 , 12.5 , 182.4 , 0.031 \r\n")]
    [InlineData("\n7,12.5,182.4,0.031\n\n")]
    public void Line_is_a_row_with_its_count(string payload)
    {
        var (rows, errors) = Decode(payload);

        Assert.Empty(errors);
        Assert.Equal([new DecodedRow(new(12.5, RowChannels.Temperature | RowChannels.Detector, 182.4, 0.031, false), 7)], rows);
    }

    [Fact]
    public void Lines_are_rows_in_order_and_a_wrong_one_leaves_the_others()
    {
        var (rows, errors) = Decode("1,1,20,0\n2,2,hot,0\n3,3,21,");

        Assert.Equal([(1L, 1.0), (3L, 3.0)], rows.Select(row => (row.Sequence!.Value, row.Row.AtSeconds)));
        Assert.Equal("line 2, column 3 (temperature): given \"hot\"; allowed: a number such as 21.5", Assert.Single(errors).ToString());
    }

    [Theory]
    [InlineData("", "payload", "holds no line")]
    [InlineData("1,2,3", "line 1", "given 3 columns")]
    [InlineData("1,2,3,4,5", "line 1", "given 5 columns in \"1,2,3,4,5\"; allowed: 4")]
    [InlineData("x,2,3,4", "line 1, column 1 (sequence)", "a whole number")]
    [InlineData("1,,3,4", "line 1, column 2 (time)", "a number such as 21.5")]
    [InlineData("1,2,,", "line 1", "none of its columns has a value")]
    [InlineData("1,2,9000,", "line 1, column 3 (temperature)", "-273.15 to 1500")]
    public void Mistake_names_line_and_column(string payload, string path, string words)
    {
        var (rows, errors) = Decode(payload);

        Assert.Empty(rows);
        Assert.Equal(path, Assert.Single(errors).Path);
        Assert.Contains(words, errors[0].Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Decimal_comma_goes_with_another_separator()
    {
        var (rows, _) = Decode("21,5;0,25", """ { "channel": "temperature", "unit": "degC" }, { "channel": "detector" } """, "\"separator\": \";\", \"decimalSeparator\": \",\",");

        Assert.Equal(new ReadingRow(77, RowChannels.Temperature | RowChannels.Detector, 21.5, 0.25, false), Assert.Single(rows).Row);
    }

    [Fact]
    public void Second_line_without_a_time_is_refused()
    {
        var (rows, errors) = Decode("21\n22", """ { "channel": "temperature", "unit": "degC" } """);

        Assert.Single(rows);
        Assert.Contains("the same moment", Assert.Single(errors).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Whatever_the_bytes_are_decoding_never_throws_and_every_row_is_finite()
    {
        var decoder = Decoder(Counted, "");
        var piece = Gen.OneOf(SourceSamples.OneOf(",", "\n", "\r", " ", "1e999", "NaN", "-", "12.5", "182.4", "7", "\0", "é"), Gen.String);
        piece.Array[0, 30].Sample(pieces =>
        {
            var rows = new List<DecodedRow>();
            decoder.Decode(new ReadOnlySequence<byte>(Encoding.UTF8.GetBytes(string.Concat(pieces))), 77, rows, []);
            return rows.TrueForAll(row => double.IsFinite(row.Row.AtSeconds) && double.IsFinite(row.Row.TemperatureCelsius) && double.IsFinite(row.Row.Detector));
        });
    }

    private static (List<DecodedRow> Rows, List<InputError> Errors) Decode(string payload, string columns = Counted, string more = "")
    {
        var rows = new List<DecodedRow>();
        var errors = new List<InputError>();
        Decoder(columns, more).Decode(new ReadOnlySequence<byte>(Encoding.UTF8.GetBytes(payload)), 77, rows, errors);
        return (rows, errors);
    }

    private static PayloadDecoder Decoder(string columns, string more) =>
        PayloadDecoder.For(SourceSamples.Mqtt($$"""{ "filter": "a", "payload": "csv", {{more}} "columns": [ {{columns}} ] }""").Topics[0]);
}
