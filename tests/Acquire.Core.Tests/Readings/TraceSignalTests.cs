using System.Globalization;
using Acquire.Core.Readings;
using Acquire.Core.Tests.Traces;
using Acquire.Core.Thermometry;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Readings;

/// <summary>The columns of a trace for the thermometer's signal.</summary>
public sealed class TraceSignalTests
{
    private const string Header = "time_s,temperature_c,detector,thermometer_uv,junction_c,thermometer_marks";

    private static Trace Read(params string[] lines) => TraceReader.Read("run.csv", lines);

    private static InputError OnlyError(params string[] lines)
    {
        var trace = Read(lines);
        Assert.Empty(trace.Rows);
        Assert.Null(trace.SignalUnit);
        Assert.False(trace.HasMarks);
        return Assert.Single(trace.Errors);
    }

    [Fact]
    public void A_row_carries_signal_junction_and_marks_beside_its_temperature()
    {
        var trace = Read(Header, "0,24.5,1,-12,23.87,", "1,,2,32767,,open-circuit+converter-saturated", "2,25,3,,,stale");

        Assert.Empty(trace.Errors);
        Assert.Equal((ThermometerUnit.Microvolt, true, false), (trace.SignalUnit, trace.HasMarks, trace.HasFlameSignal));
        Assert.Equal(
            [
                new ReadingRow(0, RowChannels.Temperature | RowChannels.Detector | RowChannels.Signal | RowChannels.Junction, 24.5, 1, false) { Signal = -12, JunctionCelsius = 23.87 },
                new ReadingRow(1, RowChannels.Detector | RowChannels.Signal, 0, 2, false) { Signal = 32_767, Marks = ReadingMarks.OpenCircuit | ReadingMarks.ConverterSaturated },
                new ReadingRow(2, RowChannels.Temperature | RowChannels.Detector, 25, 3, false) { Marks = ReadingMarks.Stale },
            ],
            trace.Rows);
    }

    [Theory]
    [InlineData("thermometer_c", ThermometerUnit.Celsius)]
    [InlineData("thermometer_k", ThermometerUnit.Kelvin)]
    [InlineData("thermometer_f", ThermometerUnit.Fahrenheit)]
    [InlineData("thermometer_uv", ThermometerUnit.Microvolt)]
    [InlineData("thermometer_mv", ThermometerUnit.Millivolt)]
    [InlineData("thermometer_v", ThermometerUnit.Volt)]
    [InlineData("thermometer_ohm", ThermometerUnit.Ohm)]
    [InlineData("thermometer_kohm", ThermometerUnit.Kiloohm)]
    [InlineData("thermometer_ma", ThermometerUnit.Milliampere)]
    public void A_signal_in_any_unit_stands_in_for_the_temperature(string column, ThermometerUnit unit)
    {
        var trace = Read($"detector,{column},time_s", "1,-1e9,0", "2,,1", "3,1e9,2");

        Assert.Empty(trace.Errors);
        Assert.Equal((unit, false), (trace.SignalUnit, trace.HasMarks));
        Assert.Equal([-1e9, 0, 1e9], trace.Rows.Select(row => row.Signal));
        Assert.Equal([RowChannels.Detector | RowChannels.Signal, RowChannels.Detector, RowChannels.Detector | RowChannels.Signal], trace.Rows.Select(row => row.Present));
    }

    [Fact]
    public void Every_unit_has_a_column_of_its_own()
    {
        Assert.Equal(Enum.GetValues<ThermometerUnit>().Order(), ThermometerColumns.Signals.Keys.Order());
        Assert.All(ThermometerColumns.Signals, pair => Assert.Equal(pair.Key, ThermometerColumns.UnitOf(pair.Value)));
        Assert.Null(ThermometerColumns.UnitOf(ThermometerColumns.Marks));
    }

    [Fact]
    public void A_trace_without_these_columns_says_so()
    {
        var trace = Read("time_s,temperature_c,detector", "0,25,1");

        Assert.Null(trace.SignalUnit);
        Assert.False(trace.HasMarks);
    }

    [Fact]
    public void A_column_of_marks_without_a_mark_is_a_column_of_marks() => Assert.True(Read("time_s,temperature_c,detector,thermometer_marks", "0,25,1,").HasMarks);

    [Fact]
    public void Marks_are_no_signal_and_do_not_replace_the_temperature()
    {
        var error = OnlyError("time_s,detector,thermometer_marks", "0,1,");

        Assert.Equal("run.csv, line 1", error.Path);
        Assert.Contains("'temperature_c', nor a thermometer's signal instead (thermometer_c, thermometer_k,", error.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("time_s,temperature_c,detector,thermometer_mv,thermometer_ohm", "two signals of the thermometer, 'thermometer_mv' and 'thermometer_ohm'")]
    [InlineData("time_s,detector,thermometer_mv,thermometer_v", "two signals of the thermometer, 'thermometer_mv' and 'thermometer_v'")]
    [InlineData("time_s,detector,thermometer_mv,thermometer_mv", "'thermometer_mv' twice")]
    [InlineData("time_s,temperature_c,detector,junction_c,junction_c", "'junction_c' twice")]
    [InlineData("time_s,temperature_c,detector,thermometer_marks,thermometer_marks", "'thermometer_marks' twice")]
    // A signal that is passed over because of a capital would be lost without a word.
    [InlineData("time_s,temperature_c,detector,thermometer_mV", "'thermometer_mv' has small letters only")]
    [InlineData("time_s,temperature_c,detector,thermometer_uv,Junction_C", "'junction_c' has small letters only")]
    public void A_header_that_can_be_misread_is_refused(string header, string expected)
    {
        var error = OnlyError(header, "0,25,1,1,1");

        Assert.Equal("run.csv, line 1", error.Path);
        Assert.Contains(expected, error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_note_about_the_thermometer_is_ignored() => Assert.Null(Read("time_s,temperature_c,detector,thermometer_serial_number", "0,25,1,A-17").SignalUnit);

    [Theory]
    [InlineData("0,25,1,1000000001,24,", "thermometer_uv", "1000000001 is not within -1000000000 to 1000000000")]
    [InlineData("0,25,1,NaN,24,", "thermometer_uv", "finite number")]
    [InlineData("0,25,1,1e999,24,", "thermometer_uv", "finite number")]
    [InlineData("0,25,1,OL,24,", "thermometer_uv", "finite number")]
    [InlineData("0,25,1,12,-273.16,", "junction_c", "-273.15 to 1500")]
    [InlineData("0,25,1,12,cold,", "junction_c", "finite number")]
    [InlineData("0,25,1,12,24,stuck+broken", "thermometer_marks", "'broken' is no mark of a reading; known are open-circuit, short-circuit,")]
    [InlineData("0,25,1,12,24,stuck+", "thermometer_marks", "'' is no mark of a reading")]
    [InlineData("0,25,1,12,24,8", "thermometer_marks", "'8' is no mark of a reading")]
    public void A_field_that_is_not_fit_is_refused_with_line_column_and_what_is_allowed(string row, string column, string expected)
    {
        var error = OnlyError(Header, "0,25,1,12,24,", row);

        Assert.Equal($"run.csv, line 3, {column}", error.Path);
        Assert.Contains(expected, error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Random_text_never_throws_and_is_either_rows_or_errors()
    {
        var number = Gen.Double.Select(value => value.ToString(CultureInfo.InvariantCulture));
        var field = Gen.OneOf(Gen.String[0, 12], number, Pick.From("", "0", "25", "+", "stuck", "stuck+stale", "stuck+", "\"stale\"", "1e5"));
        var row = Gen.OneOf(field.List[0, 8], field.List[6, 6]).Select(fields => string.Join(',', fields));
        var names = Pick.From("time_s", "temperature_c", "detector", "thermometer_uv", "thermometer_ohm", "thermometer_marks", "junction_c", "thermometer_UV", "note");
        var header = Gen.OneOf(Gen.Shuffle(Header.Split(',')).Select(shuffled => string.Join(',', shuffled)), names.List[0, 8].Select(list => string.Join(',', list)));
        Gen.Select(header, row.List[0, 6]).Sample((first, rest) =>
        {
            var trace = TraceReader.Read("run.csv", rest.Prepend(first));
            return trace.Errors.Count > 0
                ? trace is { Rows.Count: 0, SignalUnit: null, HasMarks: false }
                : trace.Rows.All(line => Math.Abs(line.Signal) <= 1e9 && line.JunctionCelsius is >= ReadingRow.LowestCelsius and <= ReadingRow.HighestCelsius && (line.Marks & ~ReadingMarks.All) == 0);
        }, iter: 5000);
    }
}
