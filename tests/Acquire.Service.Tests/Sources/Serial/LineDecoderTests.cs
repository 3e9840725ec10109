using System.Text;
using Acquire.Core;
using Acquire.Core.Readings;
using Acquire.Service.Sources;
using Acquire.Service.Sources.Serial;
using CsCheck;
using Xunit;

namespace Acquire.Service.Tests.Sources.Serial;

public sealed class LineDecoderTests
{
    private const RowChannels All = RowChannels.Temperature | RowChannels.Detector | RowChannels.Flame;
    private const string TemperatureOnly = """ "columns": [ { "channel": "temperature", "unit": "degC" } ] """;

    [Fact]
    public void Line_becomes_a_row()
    {
        Assert.Equal(new ReadingRow(12.5, All, 182.4, 0.031, true), Decode("12.5,182.4,0.031,1"));
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

    // Conversions by definition: K = degC + 273.15 and degF = 1.8 degC + 32 (BIPM SI brochure, 9th edition; NIST SP 811).
    [Theory]
    [InlineData("ms", "K", "1500,373.15", 1.5, 100)]
    [InlineData("s", "degF", "0,212", 0, 100)]
    [InlineData("s", "degF", "1e9,-40", 1e9, -40)]
    public void Units_are_converted(string timeUnit, string temperatureUnit, string line, double seconds, double celsius)
    {
        var row = Decode(line, columns: $$""" "columns": [ { "channel": "time", "unit": "{{timeUnit}}" }, { "channel": "temperature", "unit": "{{temperatureUnit}}" } ] """);

        Assert.Equal(seconds, row.AtSeconds, 9);
        Assert.Equal(celsius, row.TemperatureCelsius, 9);
        Assert.Equal(RowChannels.Temperature, row.Present);
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
    [InlineData("12.5,,0.031,1", "column 2 (temperature)", "a number such as 21.5")]
    [InlineData("12.5,NaN,0.031,1", "column 2 (temperature)", "given \"NaN\"")]
    [InlineData("12.5,Infinity,0.031,1", "column 2 (temperature)", "given \"Infinity\"")]
    [InlineData("12.5,1e999,0.031,1", "column 2 (temperature)", "given \"1e999\"")]
    [InlineData("12.5,0x1F,0.031,1", "column 2 (temperature)", "given \"0x1F\"")]
    [InlineData("12.5,1500.1,0.031,1", "column 2 (temperature)", "given 1500.1 °C; allowed: -273.15 to 1500 °C")]
    [InlineData("12.5,-273.2,0.031,1", "column 2 (temperature)", "allowed: -273.15 to 1500 °C")]
    [InlineData("-0.1,182.4,0.031,1", "column 1 (time)", "allowed: 0 to 1000000000 s")]
    [InlineData("1000000000.1,182.4,0.031,1", "column 1 (time)", "allowed: 0 to 1000000000 s")]
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

    [Fact]
    public void Right_line_is_decoded_without_allocating()
    {
        var decoder = new LineDecoder(SourceSamples.Serial("/dev/none", "\"separator\": \";\", \"decimalSeparator\": \",\""));
        var line = "12,5;182,4;0,031;on"u8.ToArray();
        Assert.True(decoder.TryDecode(line, 0, out _, out _));
        var before = GC.GetAllocatedBytesForCurrentThread();

        for (var i = 0; i < 1000; i++)
        {
            decoder.TryDecode(line, 0, out _, out _);
        }

        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);
    }

    [Fact]
    public void Whatever_the_bytes_are_decoding_never_throws_and_a_row_is_always_in_range()
    {
        var decoder = new LineDecoder(SourceSamples.Serial("/dev/none"));
        var valid = "12.5,182.4,0.031,1"u8.ToArray();
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
        && double.IsFinite(row.Detector) && row.Present != RowChannels.None;

    private static ReadingRow Decode(string line, string more = "\"baudRate\": 9600", string columns = SourceSamples.FullColumns)
    {
        var decoder = new LineDecoder(SourceSamples.Serial("/dev/none", more, columns));
        Assert.True(decoder.TryDecode(Encoding.ASCII.GetBytes(line), 77, out var row, out InputError? error), error?.ToString());
        return row;
    }
}
