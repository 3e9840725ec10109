using Acquire.Core.Readings;
using Acquire.Core.Tests.Traces;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Readings;

public sealed class TraceReaderTests
{
    private const string Header = "time_s,temperature_c,detector,flame";

    private static Trace Read(params string[] lines) => TraceReader.Read("run.csv", lines);

    private static InputError OnlyError(params string[] lines)
    {
        var trace = Read(lines);
        Assert.Empty(trace.Rows);
        return Assert.Single(trace.Errors);
    }

    [Fact]
    public void Rows_come_in_file_order_with_the_channels_they_carry()
    {
        var trace = Read(Header, "0,25.1,1200,0", "0.02,25.2,1201.5,1");

        Assert.Empty(trace.Errors);
        Assert.True(trace.HasFlameSignal);
        const RowChannels all = RowChannels.Temperature | RowChannels.Detector | RowChannels.Flame;
        Assert.Equal([new ReadingRow(0, all, 25.1, 1200, false), new ReadingRow(0.02, all, 25.2, 1201.5, true)], trace.Rows);
    }

    [Fact]
    public void Columns_may_stand_in_any_order_among_others()
    {
        var trace = Read("note,detector,\"temperature_c\", time_s ,operator", "x,-3e-4,25.1,7,someone");

        Assert.Empty(trace.Errors);
        Assert.False(trace.HasFlameSignal);
        Assert.Equal(new ReadingRow(7, RowChannels.Temperature | RowChannels.Detector, 25.1, -3e-4, false), Assert.Single(trace.Rows));
    }

    [Fact]
    public void A_byte_order_mark_and_blank_lines_do_no_harm()
    {
        var trace = Read("\uFEFF" + Header, "", "0,25,1,0", "   ");

        Assert.Empty(trace.Errors);
        Assert.Single(trace.Rows);
    }

    [Fact]
    public void An_empty_field_is_a_reading_that_was_not_made()
    {
        var trace = Read(Header, "0,,1200,", "1,25,,0", "2,,,1", "3,,,");

        Assert.Empty(trace.Errors);
        Assert.Equal([RowChannels.Detector, RowChannels.Temperature | RowChannels.Flame, RowChannels.Flame, RowChannels.None], trace.Rows.Select(row => row.Present));
    }

    [Theory]
    [InlineData("0,abc,1,0", "temperature_c")]
    [InlineData("0,NaN,1,0", "temperature_c")]
    [InlineData("0,25,Infinity,0", "detector")]
    [InlineData("0,25,1e999,0", "detector")]
    [InlineData("0x10,25,1,0", "time_s")]
    [InlineData("0,25,1_200,0", "detector")]
    [InlineData("0,25,1,yes", "flame")]
    public void Text_that_is_no_finite_number_is_refused_with_file_line_and_column(string row, string column)
    {
        var error = OnlyError(Header, "0,25,1,0", row);

        Assert.Equal($"run.csv, line 3, {column}", error.Path);
        Assert.Contains("finite number", error.Message, StringComparison.Ordinal);
    }

    [Theory]
    // Temperatures below absolute zero or far above any oil; a flame is 0 or 1.
    [InlineData("0,-273.16,1,0", "temperature_c", "-273.15")]
    [InlineData("0,1501,1,0", "temperature_c", "1500")]
    [InlineData("0,25,1,2", "flame", "1")]
    [InlineData("1e11,25,1,0", "time_s", "10000000000")]
    public void A_number_out_of_range_is_refused_with_the_range(string row, string column, string limit)
    {
        var error = OnlyError(Header, row);

        Assert.Equal($"run.csv, line 2, {column}", error.Path);
        Assert.Contains(limit, error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_missing_time_is_refused()
    {
        var error = OnlyError(Header, ",25,1,0");

        Assert.Equal("run.csv, line 2, time_s", error.Path);
    }

    [Fact]
    public void A_decimal_comma_shows_as_a_wrong_number_of_fields()
    {
        var error = OnlyError(Header, "0,25,1,0", "0,5,25,1,0");

        Assert.Equal("run.csv, line 3", error.Path);
        Assert.Contains("5 fields", error.Message, StringComparison.Ordinal);
        Assert.Contains("4", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_short_row_is_refused_whole()
    {
        Assert.Equal("run.csv, line 2", OnlyError(Header, "0,25").Path);
    }

    [Fact]
    public void Semicolons_are_named_as_the_likely_cause()
    {
        var trace = Read("time_s;temperature_c;detector", "0;25;1");

        Assert.Equal(3, trace.Errors.Count);
        Assert.All(trace.Errors, error => Assert.Equal("run.csv, line 1", error.Path));
        Assert.All(trace.Errors, error => Assert.Contains("semicolon", error.Message, StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("time_s,temperature_c", "detector")]
    [InlineData("Time_s,temperature_c,detector", "time_s")]
    public void A_missing_column_is_named_and_names_are_exact(string header, string column)
    {
        var error = OnlyError(header, "0,25");

        Assert.Contains($"'{column}'", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_column_named_twice_is_refused()
    {
        Assert.Contains("'detector' twice", OnlyError("time_s,detector,temperature_c,detector", "0,1,25,1").Message, StringComparison.Ordinal);
    }

    [Fact]
    public void An_empty_file_and_a_bare_header_are_errors_that_name_the_file()
    {
        Assert.Equal("run.csv", OnlyError().Path);
        Assert.Equal("run.csv", OnlyError(Header).Path);
    }

    [Fact]
    public void Reading_stops_after_the_stated_number_of_errors()
    {
        var lines = Enumerable.Range(0, 18).Select(_ => "x,25,1,0").Concat(Enumerable.Repeat("x,x,x,x", 50));

        var trace = TraceReader.Read("run.csv", lines.Prepend(Header));

        Assert.Equal(TraceReader.MostErrors, trace.Errors.Count);
    }

    [Fact]
    public void One_error_spoils_the_whole_trace()
    {
        var trace = Read(Header, "0,25,1,0", "1,x,1,0", "2,25,1,0");

        Assert.Empty(trace.Rows);
        Assert.Single(trace.Errors);
    }

    [Fact]
    public void Random_text_never_throws_and_is_either_rows_or_errors()
    {
        var field = Gen.OneOf(Gen.String[0, 12], Gen.Double.Select(value => value.ToString(System.Globalization.CultureInfo.InvariantCulture)), Pick.From("", "0", "25", ";", "\"", "\0", "-", "1e5", "٣"));
        var row = field.List[0, 6].Select(fields => string.Join(',', fields));
        var header = Gen.OneOf(Gen.Const(Header), Gen.Shuffle(Header.Split(',')).Select(names => string.Join(',', names)), row);
        Gen.Select(header, row.List[0, 30]).Sample((first, rest) =>
        {
            var trace = TraceReader.Read("run.csv", rest.Prepend(first));
            return trace.Errors.Count > 0
                ? trace.Rows.Count == 0 && trace.Errors.Count <= TraceReader.MostErrors && trace.Errors.All(error => error.Path.StartsWith("run.csv", StringComparison.Ordinal))
                : trace.Rows.Count > 0 && trace.Rows.All(line => double.IsFinite(line.AtSeconds + line.Detector) && line.TemperatureCelsius is >= ReadingRow.LowestCelsius and <= ReadingRow.HighestCelsius);
        }, iter: 5000);
    }
}
