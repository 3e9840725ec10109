using System.IO.Ports;
using System.Text;
using Acquire.Service.Configuration;
using Xunit;

namespace Acquire.Service.Tests.Configuration;

public sealed class SerialConfigTests
{
    [Theory]
    [InlineData(300, 100, "one round of its commands and their shortest answers takes 433 ms. Allowed: at least 434, or a higher baudRate")]
    [InlineData(300, 434, null)]
    [InlineData(9600, 100, null)]
    public void Polls_that_the_line_cannot_carry_are_refused_with_the_period_that_it_can(int baud, int period, string? told)
    {
        // Sent 4 and 3, answered at least 1 and 3 and a line end each: 13 characters of 10 bits, at 300 baud 433 ms.
        var json = ConfigSamples.Tester($$""" "kind": "serial", "port": "p", "baudRate": {{baud}}, "poll": { "periodMilliseconds": {{period}}, "commands": [ { "send": "T?\\r\\n", "columns": [ { "channel": "temperature", "unit": "degC" } ] }, { "send": "D\\r\\n", "columns": [ { "channel": "detector" }, { "channel": "flame" } ] } ] } """);
        var valid = ConfigFile.TryParse(json, out _, out var errors);

        Assert.Equal(told is null, valid);
        if (told is not null)
        {
            var error = Assert.Single(errors);
            Assert.Equal(("testers[0].source.poll.periodMilliseconds", true), (error.Path, error.Message.Contains(told, StringComparison.Ordinal)));
        }
    }

    private const string Source = "testers[0].source.";
    private const string Celsius = "{ \"group\": \"t\", \"channel\": \"temperature\", \"unit\": \"degC\" }";
    private const string Columns = "\"columns\": [ { \"channel\": \"temperature\", \"unit\": \"degC\" } ]";

    public static TheoryData<string, string, string> Mistakes => new()
    {
        { Text("\"lineEnd\": \"crlf\""), "lineEnd", "did you mean \"cr-lf\"?" },
        { Text("\"lineEnd\": \"123456789\""), "lineEnd", "1 to 8 bytes without letters and digits" },
        { Text("\"lineEnd\": \"\\\\x0\""), "lineEnd", "given \"\\x0\"; allowed: \"lf\" (LF or CR LF), \"cr\"" },
        { Text("\"lineEnd\": \"0\""), "lineEnd", "without letters and digits" },
        { Text("\"dtr\": 1"), "dtr", "given 1; allowed: true or false" },
        { Text("\"rts\": true, \"handshake\": \"rts-cts\""), "rts", "allowed: one of them" },
        { Text("\"checksum\": { \"kind\": \"crc16\" }"), "checksum.kind", "one of \"xor\", \"sum-256\"" },
        { Text("\"checksum\": { \"kind\": \"crc16-modbuss\" }"), "checksum.kind", "did you mean \"crc16-modbus\"?" },
        { Text("\"checksum\": { \"kind\": \"xor\", \"mark\": \"AB\" }"), "checksum.mark", "given \"AB\"; allowed: one character" },
        { Text("\"checksum\": { \"kind\": \"xor\", \"mark\": \"A\" }"), "checksum.mark", "no letter or digit" },
        { Text("\"checksum\": { \"kind\": \"xor\", \"coversMark\": true }"), "checksum.coversMark", "where there is no mark" },
        { Text("\"checksum\": { \"kind\": \"xor\", \"skip\": 17 }"), "checksum.skip", "a whole number from 0 to 16" },
        { Text("\"checksum\": { \"kind\": \"xor\", \"byteOrder\": \"low-first\" }"), "checksum.byteOrder", "only for a crc16" },
        { Text("\"checksum\": { \"kind\": \"xor\", \"coverMark\": true }"), "checksum.coverMark", "there is no such key; did you mean \"coversMark\"?" },
        { Pattern("(?<t>[0-9]+", Celsius), "pattern", "which is no regular expression" },
        { Pattern("(?<t>[0-9]+)(?=x)", Celsius), "pattern", "without back-references, conditions, look-ahead and look-behind" },
        { Pattern("(?<t>[0-9]+)(?<u>C)", "{ \"group\": \"T\", \"channel\": \"temperature\", \"unit\": \"degC\" }"), "groups[0].group", "given \"T\"; allowed: one of \"t\", \"u\"" },
        { Pattern("(?<temp>[0-9]+)", "{ \"group\": \"tmep\", \"channel\": \"temperature\", \"unit\": \"degC\" }"), "groups[0].group", "did you mean \"temp\"?" },
        { Pattern("([0-9]+)", Celsius), "groups[0].group", "a group that the pattern names" },
        { Pattern("(?<t>[0-9]+)", Celsius + ", " + Celsius), "groups", "given 2 temperature channels; allowed: exactly one" },
        { Pattern("(?<t>[0-9]+)", "{ \"group\": \"t\", \"channel\": \"temperature\", \"unit\": \"degc\" }"), "groups[0].unit", "did you mean \"degC\"?" },
        { Serial(Columns + ", \"pattern\": \"(?<t>.*)\", \"groups\": [ " + Celsius + " ]"), "columns", "is given beside a pattern" },
        { Serial(Columns + ", \"groups\": [ " + Celsius + " ]"), "groups", "is given without a pattern" },
        { Serial("\"baudRate\": 9600"), "columns", "is missing; allowed: a list of 1 to 64 objects" },
        { Poll("\"commands\": []"), "poll.commands", "a list of 1 to 16 objects" },
        { Poll("\"commands\": [ { " + Columns + " } ]"), "poll.commands[0].send", "is missing; allowed: 1 to 64 bytes" },
        { Poll("\"commands\": [ { \"send\": \"READ\\r\", " + Columns + " } ]"), "poll.commands[0].send", "in JSON each backslash is written twice" },
        { Poll("\"commands\": [ { \"send\": \"READ\\\\q\", " + Columns + " } ]"), "poll.commands[0].send", "given \"READ\\q\"; allowed:" },
        { Poll("\"commands\": [ { \"send\": \"R\", \"columns\": [ { \"channel\": \"time\", \"unit\": \"s\" } ] } ]"), "poll.commands[0].columns[0].channel", "given \"time\"" },
        { Poll("\"commands\": [ { \"send\": \"R\", " + Columns + " }, { \"send\": \"S\", " + Columns + " } ]"), "poll.commands", "given 2 temperature channels" },
        { Poll("\"periodMilliseconds\": 5, \"commands\": [ { \"send\": \"R\", " + Columns + " } ]"), "poll.periodMilliseconds", "a whole number from 10 to 60000" },
        { Poll("\"timeoutMilliseconds\": 5, \"commands\": [ { \"send\": \"R\", " + Columns + " } ]"), "poll.timeoutMilliseconds", "a whole number from 20 to 5000" },
        { Poll("\"period\": 500, \"commands\": [ { \"send\": \"R\", " + Columns + " } ]"), "poll.period", "there is no such key" },
        { Serial(Columns + ", \"poll\": { \"commands\": [ { \"send\": \"R\", " + Columns + " } ] }"), "columns", "within each of poll.commands" },
    };

    [Theory]
    [MemberData(nameof(Mistakes))]
    public void Mistake_is_told_with_its_place_and_what_is_allowed(string json, string path, string told)
    {
        Assert.False(ConfigFile.TryParse(json, out _, out var errors));

        Assert.True(errors.Any(error => error.Path == Source + path && error.Message.Contains(told, StringComparison.Ordinal)), string.Join("\n", errors));
    }

    [Fact]
    public void Every_setting_of_a_polled_tester_is_taken()
    {
        var serial = Read(Serial("""
            "baudRate": 1200, "dataBits": 7, "parity": "even", "stopBits": "two", "handshake": "xon-xoff", "dtr": true, "rts": false, "lineEnd": "\\x03",
            "checksum": { "kind": "crc16-kermit", "skip": 1, "mark": "!", "coversMark": true, "byteOrder": "low-first" },
            "poll": { "periodMilliseconds": 250, "timeoutMilliseconds": 100, "commands": [
              { "send": "\\x02T?\\r", "columns": [ { "channel": "temperature", "unit": "degF" }, { "channel": "ignore" } ] },
              { "send": "D?\\r", "pattern": "D(?<d>.*)", "groups": [ { "group": "d", "channel": "detector" } ] } ] }
            """));

        Assert.Equal(new PortSettings("/dev/none", 1200, 7, Parity.Even, StopBits.Two, Handshake.XOnXOff) { Dtr = true, Rts = false }, serial.Settings);
        Assert.Equal("\u0003", Encoding.ASCII.GetString(serial.End.Bytes.Span));
        Assert.Equal(new ChecksumConfig(ChecksumKind.Crc16Kermit, 1, (byte)'!', true, false, true), serial.Checksum);
        Assert.Equal((250, 100), (serial.Poll!.PeriodMilliseconds, serial.Poll.TimeoutMilliseconds));
        Assert.Equal(["\u0002T?\r", "D?\r"], serial.Poll.Commands.Select(command => Encoding.ASCII.GetString(command.Send.Span)));
        Assert.Equal([ReadingChannel.Temperature, ReadingChannel.Ignore, ReadingChannel.Detector], serial.Channels);
        Assert.Equal("serial /dev/none, 1200 baud, polled", serial.Description);
    }

    [Fact]
    public void Tester_that_is_polled_is_not_driven()
    {
        var text = ConfigSamples.Tester(""" "kind": "serial", "port": "/dev/none", "poll": { "commands": [ { "send": "R", """ + Columns + " } ] }", "\"mode\": \"driven\", \"drive\": { \"highestCelsius\": 300 },");

        Assert.False(ConfigFile.TryParse(text, out _, out var errors));

        Assert.Equal(["testers[0].mode", "testers[0].drive"], errors.Select(error => error.Path));
    }

    private static SourceConfig.Serial Read(string json)
    {
        Assert.True(ConfigFile.TryParse(json, out var config, out var errors), string.Join("\n", errors));
        return (SourceConfig.Serial)config.Testers[0].Source;
    }

    private static string Serial(string keys) => ConfigSamples.Tester($"\"kind\": \"serial\", \"port\": \"/dev/none\", {keys}");

    private static string Text(string keys) => Serial($"{Columns}, {keys}");

    private static string Pattern(string pattern, string groups) => Serial($"\"pattern\": \"{pattern}\", \"groups\": [ {groups} ]");

    private static string Poll(string keys) => Serial($"\"poll\": {{ {keys} }}");
}
