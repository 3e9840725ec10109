using Acquire.Service.Configuration;
using Xunit;

namespace Acquire.Service.Tests.Configuration;

public sealed class AmbientConfigTests
{
    private const string Room = """{ "id": "room", "source": { "kind": "serial", "port": "/dev/room", "columns": [ { "channel": "pressure", "unit": "hPa" }, { "channel": "ambient", "unit": "degC" }, { "channel": "ignore" } ] } }""";

    [Fact]
    public void Source_that_testers_share_has_the_documented_defaults_and_is_given_to_those_that_name_it()
    {
        Assert.True(ConfigFile.TryParse(File(Room, """ "ambient": ["room"], """), out var config, out var errors), string.Join("\n", errors));

        var room = Assert.Single(config.Ambient);
        Assert.Equal(("room", "room", 60.0), (room.Id, room.Name, room.StaleAfterSeconds));
        Assert.Equal([ReadingChannel.Pressure, ReadingChannel.Ambient, ReadingChannel.Ignore], room.Source.Channels);
        Assert.Equal(["room"], Assert.Single(config.Testers).Ambient);
    }

    [Theory]
    [InlineData(""" "kind": "serial", "port": "p", "pattern": "P=(?<p>[0-9.]+)", "groups": [ { "group": "p", "channel": "pressure", "unit": "mbar" } ] """)]
    [InlineData(""" "kind": "serial", "port": "p", "poll": { "commands": [ { "send": "P\\r", "columns": [ { "channel": "pressure", "unit": "mmHg" } ] } ] } """)]
    [InlineData(""" "kind": "modbus-tcp", "host": "h", "registers": [ { "channel": "pressure", "unit": "hPa", "address": 0, "type": "uint16", "scale": 0.1 } ] """)]
    [InlineData(""" "kind": "modbus-rtu", "port": "p", "unitId": 3, "registers": [ { "channel": "air", "unit": "m/s", "address": 0 } ] """)]
    [InlineData(""" "kind": "mqtt", "topics": [ { "filter": "{tester}/{channel}", "payload": "number", "channel": "pressure", "unit": "kPa" } ] """)]
    [InlineData(""" "kind": "mqtt", "topics": [ { "filter": "r", "payload": "json", "fields": [ { "path": "p", "channel": "pressure", "unit": "kPa" }, { "path": "t", "channel": "ambient", "unit": "degF" } ] } ] """)]
    [InlineData(""" "kind": "mqtt", "topics": [ { "filter": "r", "payload": "csv", "columns": [ { "channel": "ignore" }, { "channel": "air", "unit": "m/s" } ] } ] """)]
    public void Every_kind_of_source_may_be_shared(string source) =>
        Assert.True(ConfigFile.TryParse(File($$"""{ "id": "room", "source": { {{source}} } }"""), out _, out var errors), string.Join("\n", errors));

    [Theory]
    [InlineData(""" "channel": "temperature", "unit": "degC" """, "ambient[0].source.columns[0].channel", "\"pressure\", \"ambient\", \"air\"")]
    [InlineData(""" "channel": "time", "unit": "s" """, "ambient[0].source.columns[0].channel", "\"pressure\"")]
    [InlineData(""" "channel": "ignore" """, "ambient[0].source.columns", "at least one of")]
    [InlineData(""" "channel": "pressure", "unit": "bar" """, "ambient[0].source.columns[0].unit", "\"kPa\", \"hPa\", \"mbar\", \"mmHg\"")]
    [InlineData(""" "channel": "pressure" """, "ambient[0].source.columns[0].unit", "is missing")]
    public void What_a_shared_source_cannot_hold_is_refused_with_what_it_can(string column, string path, string told) =>
        AssertRefused(File($$"""{ "id": "room", "source": { "kind": "serial", "port": "/dev/room", "columns": [ { {{column}} } ] } }"""), path, told);

    [Fact]
    public void Tester_does_not_send_the_pressure_of_the_room_itself() =>
        AssertRefused(ConfigSamples.Serial(columns: """ "columns": [ { "channel": "temperature", "unit": "degC" }, { "channel": "pressure", "unit": "hPa" } ] """), "testers[0].source.columns[1].channel", "one of");

    [Fact]
    public void Name_that_no_source_has_is_told_with_the_nearest() => AssertRefused(File(Room, """ "ambient": ["rom"], """), "testers[0].ambient[0]", "did you mean \"room\"?");

    [Fact]
    public void Channel_with_two_origins_is_refused_whether_the_tester_is_one_of_them_or_not()
    {
        const string Hall = """, { "id": "hall", "source": { "kind": "serial", "port": "/dev/hall", "columns": [ { "channel": "pressure", "unit": "hPa" } ] } }""";
        AssertRefused(File(Room + Hall, """ "ambient": ["room", "hall"], """), "testers[0].ambient[1]", "so does \"room\"");
        AssertRefused(File(Room, """ "ambient": ["room"], """, """, { "channel": "ambient", "unit": "degC" }"""), "testers[0].ambient[0]", "so does the tester itself");
    }

    [Fact]
    public void Ids_and_ports_are_unique_among_testers_and_shared_sources()
    {
        AssertRefused(File(Room.Replace("\"room\"", "\"bench-1\"", StringComparison.Ordinal)), "testers[0].id", "an id of its own");
        AssertRefused(File(Room.Replace("/dev/room", "/dev/none", StringComparison.Ordinal)), "testers[0].source.port", "a port of its own");
        AssertRefused(File("""{ "id": "room", "source": { "kind": "modbus-rtu", "port": "/dev/none", "unitId": 3, "registers": [ { "channel": "air", "unit": "m/s", "address": 0 } ] } }"""), "ambient[0].source.port", "of the kind \"serial\"");
    }

    private static void AssertRefused(string json, string path, string told)
    {
        Assert.False(ConfigFile.TryParse(json, out _, out var errors));
        var error = Assert.Single(errors, error => error.Path == path);
        Assert.Contains(told, error.Message, StringComparison.Ordinal);
    }

    private static string File(string ambient, string tester = "", string columns = "") => $$"""
        { "ambient": [ {{ambient}} ], "testers": [ { "id": "bench-1", {{tester}} "source": { "kind": "serial", "port": "/dev/none", "columns": [ { "channel": "temperature", "unit": "degC" } {{columns}} ] } } ] }
        """;
}
