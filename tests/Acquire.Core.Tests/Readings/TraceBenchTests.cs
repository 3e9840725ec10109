using System.Globalization;
using Acquire.Core.Readings;
using Acquire.Core.Tests.Traces;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Readings;

/// <summary>The columns of a trace for what the tester tells of itself and of the bench.</summary>
public sealed class TraceBenchTests
{
    private const string Header = "time_s,temperature_c,detector,command,heater,stirrer_rpm,stirring,lit,air_m_s,ambient_c";

    private static Trace Read(params string[] lines) => TraceReader.Read("run.csv", lines);

    [Fact]
    public void A_row_carries_what_is_told_and_nothing_where_a_field_is_empty()
    {
        var trace = Read(Header, "0,24.5,1,9223372036854775807,0.375,105,1,0,0.05,-39.5", "1,25,2,,,,,,,", "2,,,,,,0,1,,");

        Assert.Empty(trace.Errors);
        Assert.Equal(
            [
                new ReadingRow(0, RowChannels.Temperature | RowChannels.Detector | RowChannels.Command | RowChannels.Heater | ReadingRow.BenchChannels, 24.5, 1, false)
                {
                    Command = long.MaxValue, HeaterFraction = 0.375, StirrerRevolutionsPerMinute = 105, Stirring = true, AirMetresPerSecond = 0.05, AmbientCelsius = -39.5,
                },
                new ReadingRow(1, RowChannels.Temperature | RowChannels.Detector, 25, 2, false),
                new ReadingRow(2, RowChannels.Stirring | RowChannels.Lit, 0, 0, false) { Lit = true },
            ],
            trace.Rows);
        Assert.Equal([true, null, false], trace.Rows.Select(row => row.Turns));
    }

    [Theory]
    [InlineData("command", "-1", "'-1' is not a whole number from 0 to 9223372036854775807")]
    [InlineData("command", "1.0", "is not a whole number")]
    [InlineData("command", "9223372036854775808", "is not a whole number")]
    [InlineData("heater", "1.001", "1.001 is not within 0 to 1")]
    [InlineData("stirrer_rpm", "5001", "5001 is not within 0 to 5000")]
    [InlineData("stirring", "yes", "is not a finite number")]
    [InlineData("lit", "2", "2 is not within 0 to 1")]
    [InlineData("air_m_s", "-0.1", "-0.1 is not within 0 to 20")]
    [InlineData("ambient_c", "80.5", "80.5 is not within -40 to 80")]
    public void A_field_that_is_not_fit_is_refused_with_line_column_and_range(string column, string field, string expected)
    {
        var error = Assert.Single(Read($"time_s,temperature_c,detector,{column}", "0,25,1,", $"1,25,1,{field}").Errors);

        Assert.Equal($"run.csv, line 3, {column}", error.Path);
        Assert.Contains(expected, error.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("time_s,temperature_c,detector,lit,lit", "twice")]
    [InlineData("time_s,temperature_c,detector,Lit", "'lit' has small letters only")]
    [InlineData("time_s,temperature_c,detector,Stirrer_RPM", "'stirrer_rpm' has small letters only")]
    public void A_column_is_named_once_and_in_small_letters(string header, string expected) =>
        Assert.Contains(expected, Assert.Single(Read(header, "0,25,1,1").Errors).Message, StringComparison.Ordinal);

    // What a speed sensor shows at rest is not always 0: common practice, no source.
    [Theory]
    [InlineData(4.9, false)]
    [InlineData(5, true)]
    public void A_stirrer_turns_from_a_few_revolutions_on(double speed, bool turns) =>
        Assert.Equal(turns, new ReadingRow(0, RowChannels.Stirrer, 0, 0, false) { StirrerRevolutionsPerMinute = speed }.Turns);

    [Fact]
    public void Random_text_never_throws_and_is_either_rows_in_range_or_errors()
    {
        var number = Gen.Double[-10, 6000].Select(value => value.ToString(CultureInfo.InvariantCulture));
        var field = Gen.OneOf(Gen.String[0, 8], number, Gen.Long.Select(value => value.ToString(CultureInfo.InvariantCulture)), Pick.From("", "0", "1", "0.5"));
        Gen.Select(Gen.Shuffle(Header.Split(',')), field.List[10, 10].List[0, 4]).Sample((header, lines) =>
        {
            var trace = TraceReader.Read("run.csv", lines.Select(fields => string.Join(',', fields)).Prepend(string.Join(',', header)));
            return trace.Errors.Count > 0 ? trace.Rows.Count == 0 : trace.Rows.All(row => row is
            {
                Command: >= 0, HeaterFraction: >= 0 and <= 1, StirrerRevolutionsPerMinute: >= 0 and <= 5000, AirMetresPerSecond: >= 0 and <= 20, AmbientCelsius: >= -40 and <= 80,
            });
        }, iter: 3000);
    }
}
