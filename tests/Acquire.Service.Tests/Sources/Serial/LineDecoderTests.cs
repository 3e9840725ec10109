using System.Text;
using Acquire.Core;
using Acquire.Core.Readings;
using Acquire.Core.Tests;
using Acquire.Service.Sources;
using Acquire.Service.Sources.Serial;
using CsCheck;
using Xunit;

namespace Acquire.Service.Tests.Sources.Serial;

public sealed class LineDecoderTests
{
    private const RowChannels All = RowChannels.Temperature | RowChannels.Detector | RowChannels.Flame;
    private const string MicrovoltAndJunction = """ "columns": [ { "channel": "temperature", "unit": "uV" }, { "channel": "junction", "unit": "degC" } ] """;
    private const string Bench = """
         "columns": [ { "channel": "temperature", "unit": "degC" }, { "channel": "command" }, { "channel": "heater", "unit": "%" }, { "channel": "stirrer", "unit": "r/min" },
          { "channel": "lit" }, { "channel": "air", "unit": "m/s" }, { "channel": "ambient", "unit": "degF" } ]
        """;

    private const string Stirring = """ "columns": [ { "channel": "temperature", "unit": "degC" }, { "channel": "heater", "unit": "1" }, { "channel": "stirring" } ] """;

    private const string TwoDetectors = """ "columns": [ { "channel": "temperature", "unit": "degC" }, { "channel": "second-detector" }, { "channel": "detector" } ] """;

    private const string TemperatureOnly = """ "columns": [ { "channel": "temperature", "unit": "degC" } ] """;

    [Fact]
    public void Line_becomes_a_row()
    {
        Assert.Equal(new ReadingRow(12.5, All, 182.4, 0.031, true), Decode("12.5,182.4,0.031,1"));
    }

    [Theory]
    [InlineData("12.5,,0.031,1", RowChannels.Detector | RowChannels.Flame)]
    [InlineData("12.5,182.4, ,1", RowChannels.Temperature | RowChannels.Flame)]
    [InlineData("12.5,182.4,0.031,", RowChannels.Temperature | RowChannels.Detector)]
    public void An_empty_column_is_a_reading_that_was_not_made(string line, RowChannels present)
    {
        Assert.Equal((12.5, present), (Decode(line).AtSeconds, Decode(line).Present));
    }

    [Theory]
    [InlineData(";", ".", "12.5;182.4;-3e-2;0")]
    [InlineData(";", ",", "12,5 ; 182,4; -0,03;off")]
    [InlineData("\\t", ".", "12.5\t182.4\t-0.03\tFALSE")]
    [InlineData("|", ".", "12.5| +182.4|-.03|false")]
    [InlineData(" ", ".", "  12.5   182.4\t -0.03 0  ")]
    [InlineData(" ", ",", "12,5 182,4 -0,03 Off")]
    public void Separators_and_decimal_separators_are_as_configured(string separator, string decimalSeparator, string line)
    {
        var row = Decode(line, $"\"separator\": \"{separator}\", \"decimalSeparator\": \"{decimalSeparator}\"");

        Assert.Equal(new ReadingRow(12.5, All, 182.4, -0.03, false), row);
    }

    [Fact]
    public void What_the_tester_tells_of_itself_and_of_the_bench_is_in_the_row()
    {
        const RowChannels told = RowChannels.Temperature | RowChannels.Command | RowChannels.Heater | RowChannels.Stirrer | RowChannels.Lit | RowChannels.Air | RowChannels.Ambient;

        Assert.Equal(
            new ReadingRow(77, told, 21.5, 0, false) { Command = long.MaxValue, HeaterFraction = 0.375, StirrerRevolutionsPerMinute = 105, Lit = true, AirMetresPerSecond = 0.05, AmbientCelsius = 20 },
            Decode("21.5,9223372036854775807,37.5,105,on,0.05,68", columns: Bench));
        Assert.Equal(new ReadingRow(77, RowChannels.Temperature, 21.5, 0, false), Decode("21.5,,,,,,", columns: Bench));
        Assert.Equal(
            new ReadingRow(77, RowChannels.Temperature | RowChannels.Heater | RowChannels.Stirring, 21.5, 0, false) { HeaterFraction = 1, Stirring = true },
            Decode("21.5,1,TRUE", columns: Stirring));
    }

    [Fact]
    public void A_second_detector_is_a_column_of_its_own()
    {
        const RowChannels both = RowChannels.Temperature | RowChannels.Detector | RowChannels.SecondDetector;

        Assert.Equal(new ReadingRow(77, both, 21.5, -0.5, false) { SecondDetector = 1e-300 }, Decode("21.5,1e-300,-0.5", columns: TwoDetectors));
        Assert.Equal(new ReadingRow(77, both & ~RowChannels.SecondDetector, 21.5, 3, false), Decode("21.5,,3", columns: TwoDetectors));
        Assert.Equal(new ReadingRow(77, RowChannels.SecondDetector, 0, 0, false) { SecondDetector = 3 }, Decode(",3,", columns: TwoDetectors));
    }

    [Theory]
    [InlineData("21,NaN,1")]
    [InlineData("21,1e999,1")]
    [InlineData("21,x,1")]
    public void A_second_detector_that_is_no_finite_number_is_refused_with_its_column(string line)
    {
        Assert.False(new LineDecoder(SourceSamples.Serial("/dev/none", columns: TwoDetectors)).TryDecode(Encoding.UTF8.GetBytes(line), 0, out _, out var error));

        Assert.Contains("column 2 (second-detector)", error!.Path, StringComparison.Ordinal);
        Assert.Contains("allowed: a", error.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("21,-1,,,,,", "column 2 (command)", "a whole number from 0 to 9223372036854775807")]
    [InlineData("21,1.5,,,,,", "column 2 (command)", "a whole number from 0")]
    [InlineData("21,9223372036854775808,,,,,", "column 2 (command)", "a whole number from 0")]
    [InlineData("21,,100.1,,,,", "column 3 (heater)", "given 100.1 %; allowed: 0 to 100 %")]
    [InlineData("21,,-0.1,,,,", "column 3 (heater)", "allowed: 0 to 100 %")]
    [InlineData("21,,,5000.1,,,", "column 4 (stirrer)", "given 5000.1 r/min; allowed: 0 to 5000 r/min")]
    [InlineData("21,,,,lit,,", "column 5 (lit)", "0 or 1, true or false, on or off")]
    [InlineData("21,,,,,20.1,", "column 6 (air)", "given 20.1 m/s; allowed: 0 to 20 m/s")]
    [InlineData("21,,,,,,176.1", "column 7 (ambient)", "given 176.1 °F; allowed: -40 to 80 °C")]
    [InlineData("21,,,,,,-40.1", "column 7 (ambient)", "allowed: -40 to 80 °C")]
    public void What_cannot_be_told_of_a_bench_is_refused_with_its_column_and_range(string line, string path, string words)
    {
        Assert.False(new LineDecoder(SourceSamples.Serial("/dev/none", columns: Bench)).TryDecode(Encoding.UTF8.GetBytes(line), 0, out _, out var error));
        Assert.Equal(path, error.Path);
        Assert.Contains(words, error.Message, StringComparison.Ordinal);
    }

    // Conversions by definition: K = degC + 273.15 and degF = 1.8 degC + 32 (BIPM SI brochure, 9th edition; NIST SP 811).
    [Theory]
    [InlineData("ms", "K", "1500,373.15", 1.5, 373.15)]
    [InlineData("s", "degF", "0,212", 0, 212)]
    [InlineData("s", "degF", "1e9,-40", 1e9, -40)]
    public void Time_is_converted_and_a_temperature_that_is_not_in_degrees_Celsius_is_a_signal_as_sent(string timeUnit, string temperatureUnit, string line, double seconds, double signal)
    {
        var row = Decode(line, columns: $$""" "columns": [ { "channel": "time", "unit": "{{timeUnit}}" }, { "channel": "temperature", "unit": "{{temperatureUnit}}" } ] """);

        Assert.Equal(new ReadingRow(seconds, RowChannels.Signal, 0, 0, false) { Signal = signal }, row);
    }

    [Theory]
    [InlineData("uV", "thermocouple", "-5891", -5891)]
    [InlineData("\u00B5V", "thermocouple", "1e9", 1e9)]
    [InlineData("mV", "thermocouple", "9.343", 9.343)]
    [InlineData("V", "transmitter", "-0.01", -0.01)]
    [InlineData("ohm", "platinum", "138.5055", 138.5055)]
    [InlineData("k\u03A9", "platinum", "0.1385055", 0.1385055)]
    [InlineData("mA", "transmitter", "21.5", 21.5)]
    public void Voltage_resistance_or_current_is_a_signal_as_sent(string unit, string kind, string cell, double signal)
    {
        var row = Decode(cell, columns: SignalColumn(unit), thermometer: Thermometer(kind, unit));

        Assert.Equal(new ReadingRow(77, RowChannels.Signal, 0, 0, false) { Signal = signal }, row);
    }

    [Theory]
    [InlineData("uV", "thermocouple", "-1000000001", "given -1000000001 µV; allowed: -1000000000 to 1000000000 µV")]
    [InlineData("ohm", "platinum", "1e10", "allowed: -1000000000 to 1000000000 Ω")]
    [InlineData("mA", "transmitter", "NaN", "given \"NaN\"")]
    [InlineData("K", "direct", "-0.1", "given -0.1 K; allowed: -273.15 to 1500 °C")]
    [InlineData("degF", "direct", "2732.2", "given 2732.2 °F; allowed: -273.15 to 1500 °C")]
    public void Signal_out_of_range_is_refused_in_its_own_unit(string unit, string kind, string cell, string words)
    {
        var decoder = new LineDecoder(SourceSamples.Serial("/dev/none", columns: SignalColumn(unit), thermometer: Thermometer(kind, unit)));

        Assert.False(decoder.TryDecode(Encoding.ASCII.GetBytes(cell), 77, out _, out var error));

        Assert.Equal("column 1 (temperature)", error.Path);
        Assert.Contains(words, error.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("degC", "9343,23.5", 23.5)]
    [InlineData("K", "9343,296.65", 23.5)]
    [InlineData("degF", "9343,74.3", 23.5)]
    public void Junction_is_converted_to_degrees_Celsius(string unit, string line, double celsius)
    {
        var row = Decode(line, columns: JunctionColumns(unit), thermometer: SourceSamples.MeasuredJunction);

        Assert.Equal(RowChannels.Signal | RowChannels.Junction, row.Present);
        Assert.Equal(9343, row.Signal);
        Assert.Equal(celsius, row.JunctionCelsius, 9);
    }

    [Theory]
    [InlineData("degC", "9343,1500.1", "given 1500.1 °C; allowed: -273.15 to 1500 °C")]
    [InlineData("K", "9343,-1", "given -1 K; allowed: -273.15 to 1500 °C")]
    [InlineData("degF", "9343,x", "a number such as 21.5")]
    public void Junction_out_of_range_is_refused(string unit, string line, string words)
    {
        var decoder = new LineDecoder(SourceSamples.Serial("/dev/none", columns: JunctionColumns(unit), thermometer: SourceSamples.MeasuredJunction));

        Assert.False(decoder.TryDecode(Encoding.ASCII.GetBytes(line), 77, out _, out var error));

        Assert.Equal("column 2 (junction)", error.Path);
        Assert.Contains(words, error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Line_without_a_time_gets_the_time_of_its_arrival()
    {
        Assert.Equal(77, Decode("21.5", columns: TemperatureOnly).AtSeconds);
    }

    [Fact]
    public void Ignored_column_may_hold_anything_printable()
    {
        var row = Decode("#A 7,21.5", columns: """ "columns": [ { "channel": "ignore" }, { "channel": "temperature", "unit": "degC" } ] """);

        Assert.Equal(21.5, row.TemperatureCelsius);
    }

    [Theory]
    [InlineData("12.5,182.4,0.031", "line", "given 3 columns")]
    [InlineData("12.5,182.4,0.031,1,", "line", "given 5 columns")]
    [InlineData("", "column 1 (time)", "given \"\"")]
    [InlineData("12.5,?,0.031,1", "column 2 (temperature)", "a number such as 21.5")]
    [InlineData(",182.4,0.031,1", "column 1 (time)", "a number such as 21.5")]
    [InlineData("12.5,,,", "line", "at least one")]
    [InlineData("12.5,NaN,0.031,1", "column 2 (temperature)", "given \"NaN\"")]
    [InlineData("12.5,Infinity,0.031,1", "column 2 (temperature)", "given \"Infinity\"")]
    [InlineData("12.5,1e999,0.031,1", "column 2 (temperature)", "given \"1e999\"")]
    [InlineData("12.5,0x1F,0.031,1", "column 2 (temperature)", "given \"0x1F\"")]
    [InlineData("12.5,1500.1,0.031,1", "column 2 (temperature)", "given 1500.1 °C; allowed: -273.15 to 1500 °C")]
    [InlineData("12.5,-273.2,0.031,1", "column 2 (temperature)", "allowed: -273.15 to 1500 °C")]
    [InlineData("-0.1,182.4,0.031,1", "column 1 (time)", "allowed: 0 to 10000000000 s")]
    [InlineData("10000000000.1,182.4,0.031,1", "column 1 (time)", "allowed: 0 to 10000000000 s")]
    [InlineData("12.5,182.4,x,1", "column 3 (detector)", "given \"x\"")]
    [InlineData("12.5,182.4,0.031,2", "column 4 (flame)", "0 or 1, true or false, on or off")]
    [InlineData("12.5,182.4,0.031,1\u0007", "line", "byte 0x07 at position 19")]
    [InlineData("12.5,18\u00b0.4,0.031,1", "line", "byte 0xC2 at position 8")]
    public void Line_with_a_mistake_names_the_column_and_what_is_allowed(string line, string path, string words)
    {
        var decoder = new LineDecoder(SourceSamples.Serial("/dev/none"));

        Assert.False(decoder.TryDecode(Encoding.UTF8.GetBytes(line), 77, out _, out var error));

        Assert.Equal(path, error.Path);
        Assert.Contains(words, error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Thousands_point_beside_a_decimal_comma_is_refused()
    {
        var decoder = new LineDecoder(SourceSamples.Serial("/dev/none", "\"separator\": \";\", \"decimalSeparator\": \",\"", TemperatureOnly));

        Assert.False(decoder.TryDecode("1.182,4"u8, 0, out _, out var error));
        Assert.Contains("21,5", error.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(SourceSamples.FullColumns, "12,5;182,4;0,031;on")]
    [InlineData(MicrovoltAndJunction, "9343,5;23,5")]
    public void Right_line_is_decoded_without_allocating(string columns, string text)
    {
        var thermometer = columns == MicrovoltAndJunction ? SourceSamples.MeasuredJunction : "";
        var decoder = new LineDecoder(SourceSamples.Serial("/dev/none", "\"separator\": \";\", \"decimalSeparator\": \",\"", columns, thermometer));
        var line = Encoding.ASCII.GetBytes(text);
        Assert.True(decoder.TryDecode(line, 0, out _, out _));

        Assert.Equal(0, Allocations.LeastBytes(() => () =>
        {
            for (var i = 0; i < 1000; i++)
            {
                decoder.TryDecode(line, 0, out _, out _);
            }
        }));
    }

    [Theory]
    [InlineData(SourceSamples.FullColumns, "12.5,182.4,0.031,1", "")]
    [InlineData(MicrovoltAndJunction, "9343.5,23.5", SourceSamples.MeasuredJunction)]
    [InlineData(Bench, "21.5,12,37.5,105,1,0.05,68", "")]
    public void Whatever_the_bytes_are_decoding_never_throws_and_a_row_is_always_in_range(string columns, string text, string thermometer)
    {
        var decoder = new LineDecoder(SourceSamples.Serial("/dev/none", columns: columns, thermometer: thermometer));
        var valid = Encoding.ASCII.GetBytes(text);
        var mutated =
            from position in Gen.Int[0, valid.Length - 1]
            from length in Gen.Int[0, 4]
            from piece in Gen.OneOf(Gen.Byte.Array[0, 6], Gen.OneOf(
                Gen.Const("NaN"u8.ToArray()), Gen.Const("Infinity"u8.ToArray()), Gen.Const("-1e308"u8.ToArray()), Gen.Const(","u8.ToArray()), Gen.Const("9e9"u8.ToArray())))
            select valid[..position].Concat(piece).Concat(valid[Math.Min(valid.Length, position + length)..]).ToArray();

        Gen.OneOf(mutated, Gen.Byte.Array).Sample(line => decoder.TryDecode(line, 77, out var row, out var error) ? error is null && IsInRange(row) : error is not null);
    }

    internal static bool IsInRange(ReadingRow row) =>
        row.AtSeconds >= 0 && row.AtSeconds <= RowDraft.LatestSeconds
        && row.TemperatureCelsius >= ReadingRow.LowestCelsius && row.TemperatureCelsius <= ReadingRow.HighestCelsius
        && Math.Abs(row.Signal) <= RowDraft.LargestSignal
        && row.JunctionCelsius >= ReadingRow.LowestCelsius && row.JunctionCelsius <= ReadingRow.HighestCelsius
        && row is { Command: >= 0, HeaterFraction: >= 0 and <= 1, StirrerRevolutionsPerMinute: >= 0 and <= ReadingRow.FastestStirrerRevolutionsPerMinute, AirMetresPerSecond: >= 0 and <= ReadingRow.FastestAirMetresPerSecond, AmbientCelsius: >= ReadingRow.LowestAmbientCelsius and <= ReadingRow.HighestAmbientCelsius }
        && double.IsFinite(row.Detector) && double.IsFinite(row.SecondDetector) && row.Present != RowChannels.None;

    private static string JunctionColumns(string unit) => MicrovoltAndJunction.Replace("degC", unit, StringComparison.Ordinal);

    private static string SignalColumn(string unit) => $$""" "columns": [ { "channel": "temperature", "unit": "{{unit}}" } ] """;

    private static string Thermometer(string kind, string unit)
    {
        var more = kind switch
        {
            "thermocouple" => """, "type": "K", "referenceJunction": "compensated" """,
            "platinum" => """, "wires": 4 """,
            "transmitter" => $$""", "signal": "{{(unit == "mA" ? "4-20 mA" : "0-10 V")}}", "lowCelsius": 0, "highCelsius": 400 """,
            _ => "",
        };
        return $$""" "thermometer": { "sensor": { "kind": "{{kind}}"{{more}} } }, """;
    }

    private static ReadingRow Decode(string line, string more = "\"baudRate\": 9600", string columns = SourceSamples.FullColumns, string thermometer = "")
    {
        var decoder = new LineDecoder(SourceSamples.Serial("/dev/none", more, columns, thermometer));
        Assert.True(decoder.TryDecode(Encoding.ASCII.GetBytes(line), 77, out var row, out InputError? error), error?.ToString());
        return row;
    }
}
