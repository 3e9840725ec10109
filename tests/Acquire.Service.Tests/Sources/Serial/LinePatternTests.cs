using System.Text;
using Acquire.Core.Readings;
using Acquire.Service.Configuration;
using Acquire.Service.Sources.Serial;
using CsCheck;
using Xunit;

namespace Acquire.Service.Tests.Sources.Serial;

public sealed class LinePatternTests
{
    private const string Pattern = @"\\x02?(?<s>ST|US),\\s*(?<t>[-+0-9.]+) ?\\xB0C(;D=(?<d>[^;]*))?";
    private const string Groups = """ "groups": [ { "group": "t", "channel": "temperature", "unit": "degC" }, { "group": "d", "channel": "detector" } ] """;

    [Theory]
    [InlineData("\u0002ST,  182.4 \u00b0C;D=0.031", RowChannels.Temperature | RowChannels.Detector, 182.4, 0.031)]
    [InlineData("US,-1.5\u00b0C", RowChannels.Temperature, -1.5, 0)]
    [InlineData("US,-1.5\u00b0C;D=", RowChannels.Temperature, -1.5, 0)]
    public void Named_groups_become_channels_and_an_empty_one_is_a_reading_that_was_not_made(string line, RowChannels present, double celsius, double detector)
    {
        Assert.True(Decoder().TryDecode(Encoding.Latin1.GetBytes(line), 77, out var row, out var error), error?.ToString());

        Assert.Equal(new ReadingRow(77, present, celsius, detector, false), row);
    }

    [Theory]
    [InlineData("ST,182.4\u00b0C;D=0.031x", "group d (detector)", "given \"0.031x\"")]
    [InlineData("ST,1824.0\u00b0C", "group t (temperature)", "given 1824 °C; allowed: -273.15 to 1500 °C")]
    [InlineData("xST,182.4\u00b0C", "line", "given \"xST,182.4?C\"; allowed: a line that matches the pattern as a whole")]
    [InlineData("ST,182.4\u00b0C;E=1", "line", "matches the pattern as a whole")]
    public void Line_with_a_mistake_names_the_group_and_what_is_allowed(string line, string path, string told)
    {
        Assert.False(Decoder().TryDecode(Encoding.Latin1.GetBytes(line), 77, out _, out var error));

        Assert.Equal(path, error.Path);
        Assert.Contains(told.Replace("?C", "\u00b0C", StringComparison.Ordinal), error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Time_and_decimal_comma_are_read_from_groups_too()
    {
        var config = SourceSamples.Serial(
            "/dev/none",
            "\"decimalSeparator\": \",\", \"separator\": \";\"",
            """ "pattern": "(?<at>[0-9]+) (?<t>[0-9,]+)", "groups": [ { "group": "at", "channel": "time", "unit": "ms" }, { "group": "t", "channel": "temperature", "unit": "degC" } ] """);

        Assert.True(new LineDecoder(config).TryDecode("1500 21,5"u8, 77, out var row, out _));

        Assert.Equal(new ReadingRow(1.5, RowChannels.Temperature, 21.5, 0, false), row);
    }

    [Fact]
    public void Line_of_the_documentation_is_read_as_it_says()
    {
        var text = File.ReadAllText(Path.Combine(Configuration.ConfigSamples.RepositoryRoot(), "docs", "configuration.md"));
        var example = text.Split("```json").Skip(1).Select(part => part.Split("```")[0]).Single(part => part.Contains("\"mark\": \"*\"", StringComparison.Ordinal));

        var decoder = new LineDecoder((SourceConfig.Serial)SourceSamples.Config(example).Testers[0].Source);

        Assert.True(decoder.TryDecode("$ST, 182.40 C D=0.031*0C"u8, 77, out var row, out var error), error?.ToString());
        Assert.Equal((182.4, 0.031), (row.TemperatureCelsius, row.Detector));
        Assert.False(decoder.TryDecode("$ST, 182.40 C D=0.032*0C"u8, 77, out _, out _));
    }

    // Such a pattern takes a time of two to the power of the length in engines that go back.
    [Fact]
    public void Pattern_that_would_be_slow_elsewhere_takes_a_longest_line_at_once()
    {
        var config = SourceSamples.Serial("/dev/none", columns: """ "pattern": "(?<t>(0|[0-9]0|00?)+)x", "groups": [ { "group": "t", "channel": "temperature", "unit": "degC" } ] """);
        var decoder = new LineDecoder(config);
        var line = Encoding.ASCII.GetBytes(new string('0', LineFramer.LongestLineBytes));
        decoder.TryDecode(line, 0, out _, out _);
        var start = TimeProvider.System.GetTimestamp();

        Assert.False(decoder.TryDecode(line, 0, out _, out _));

        Assert.InRange(TimeProvider.System.GetElapsedTime(start).TotalSeconds, 0, 0.5);
    }

    [Fact]
    public void Whatever_the_bytes_are_decoding_never_throws_and_a_row_is_always_in_range()
    {
        var decoder = Decoder(", \"checksum\": { \"kind\": \"xor\", \"mark\": \"*\" }");
        var valid = Encoding.Latin1.GetBytes("ST,182.4\u00b0C;D=0.031");
        var line =
            from position in Gen.Int[0, valid.Length - 1]
            from piece in Gen.Byte.Array[0, 5]
            let text = valid[..position].Concat(piece).Concat(valid[Math.Min(valid.Length, position + piece.Length)..]).ToArray()
            select text.Concat(Encoding.ASCII.GetBytes($"*{LineChecksum.Compute(ChecksumKind.Xor, text):X2}")).ToArray();

        Gen.OneOf(line, Gen.Byte.Array).Sample(bytes => decoder.TryDecode(bytes, 77, out var row, out var error) ? error is null && LineDecoderTests.IsInRange(row) : error is not null);
    }

    private static LineDecoder Decoder(string more = "") =>
        new(SourceSamples.Serial("/dev/none", "\"baudRate\": 9600" + more, $"\"pattern\": \"{Pattern}\", {Groups}"));
}
