using Acquire.Core.Readings;
using Xunit;

namespace Acquire.Core.Tests.Readings;

/// <summary>The column of a trace for a second ignition detector.</summary>
public sealed class TraceSecondDetectorTests
{
    private const RowChannels Both = RowChannels.Temperature | RowChannels.Detector | RowChannels.SecondDetector;

    private static Trace Read(params string[] lines) => TraceReader.Read("run.csv", lines);

    [Theory]
    [InlineData("time_s,temperature_c,detector,second_detector,flame", "0,24.5,1,-7e-3,1", "1,25,2,,0")]
    [InlineData("second_detector,flame,detector,temperature_c,time_s", "-7e-3,1,1,24.5,0", ",0,2,25,1")]
    public void A_row_carries_it_wherever_its_column_stands_and_not_where_its_field_is_empty(string header, string first, string second)
    {
        var trace = Read(header, first, second);

        Assert.Empty(trace.Errors);
        Assert.Equal(
            [
                new ReadingRow(0, Both | RowChannels.Flame, 24.5, 1, true) { SecondDetector = -0.007 },
                new ReadingRow(1, (Both | RowChannels.Flame) & ~RowChannels.SecondDetector, 25, 2, false),
            ],
            trace.Rows);
    }

    [Fact]
    public void A_trace_without_the_column_reads_as_it_always_has() =>
        Assert.Equal([new ReadingRow(0, RowChannels.Temperature | RowChannels.Detector, 24.5, 1, false)], Read("time_s,temperature_c,detector", "0,24.5,1").Rows);

    [Fact]
    public void The_second_detector_stands_in_for_the_first_in_no_trace() =>
        Assert.StartsWith("has no column 'detector'", Assert.Single(Read("time_s,temperature_c,second_detector", "0,24.5,1").Errors).Message, StringComparison.Ordinal);

    [Theory]
    [InlineData("NaN")]
    [InlineData("1e999")]
    [InlineData("0,5")]
    [InlineData("bright")]
    public void A_field_that_is_no_finite_number_is_refused_with_line_and_column(string field)
    {
        var error = Assert.Single(Read("time_s,temperature_c,detector,second_detector", "0,25,1,1", $"1,25,1,{field}").Errors);

        Assert.StartsWith("run.csv, line 3", error.Path, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("time_s,temperature_c,detector,second_detector,second_detector", "twice")]
    [InlineData("time_s,temperature_c,detector,Second_Detector", "'second_detector' has small letters only")]
    public void The_column_is_named_once_and_in_small_letters(string header, string expected) =>
        Assert.Contains(expected, Assert.Single(Read(header, "0,25,1,1").Errors).Message, StringComparison.Ordinal);
}
