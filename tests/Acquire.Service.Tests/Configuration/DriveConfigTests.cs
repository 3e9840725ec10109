using Acquire.Core.Control;
using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Service.Configuration;
using Acquire.Service.Tests.Sources;
using Xunit;

namespace Acquire.Service.Tests.Configuration;

public sealed class DriveConfigTests
{
    private const string Columns = """{ "channel": "temperature", "unit": "degC" }, { "channel": "detector" }, { "channel": "flame" }, { "channel": "command" }, { "channel": "heater", "unit": "%" }""";
    private const string Least = """{ "highestCelsius": 320 }""";

    private static string Serial(string drive = Least, string columns = Columns, string more = "") => $$"""
        { "testers": [ { "id": "bench-4", "mode": "driven", {{more}} "drive": {{drive}}, "source": { "kind": "serial", "port": "/dev/none", "columns": [ {{columns}} ] } } ] }
        """;

    private static string Slow(int baud, string drive = Least, string more = "") =>
        Serial(drive).Replace("\"port\"", FormattableString.Invariant($"{more} \"baudRate\": {baud}, \"port\""), StringComparison.Ordinal);

    private static string Fields(string filter) => $$"""
        { "kind": "mqtt", "topics": [ { "filter": "{{filter}}", "payload": "json", "fields": [ { "path": "t", "channel": "temperature", "unit": "degC" },
          { "path": "d", "channel": "detector" }, { "path": "f", "channel": "flame" }, { "path": "c", "channel": "command", "optional": true } ] } ] }
        """;

    private static string Mqtt(string drive = Least, string filter = "acquire/bench-4/readings") =>
        $$"""{ "testers": [ { "id": "bench-4", "mode": "driven", "drive": {{drive}}, "source": {{Fields(filter)}} } ] }""";

    [Fact]
    public void A_driven_tester_has_the_documented_defaults()
    {
        var tester = Assert.Single(SourceSamples.Config(Serial()).Testers);

        Assert.Equal(RunMode.Driven, tester.Mode);
        Assert.True(tester.Channels.HasFlag(RowChannels.Command | RowChannels.Heater | RowChannels.Flame));
        Assert.Equal(new DriveConfig(new DriveSettings { HighestCelsius = 320 }, null), tester.Drive);
        Assert.Equal((1500, 60.0, 0.2), (tester.Drive!.Settings.LifetimeMilliseconds, tester.Drive.Settings.AllowanceCelsius, tester.Drive.Settings.ReactionSeconds));
        Assert.Equal("acquire/bench-4/drive", Assert.Single(SourceSamples.Config(Mqtt()).Testers).Drive!.Topic);
        Assert.Null(Assert.Single(SourceSamples.Config(ConfigSamples.Serial()).Testers).Drive);
    }

    [Fact]
    public void Every_figure_is_taken()
    {
        const string Drive = """
            { "topic": "lab/b4/set", "lifetimeMilliseconds": 900, "highestCelsius": 300, "allowanceCelsius": 45, "reactionSeconds": 0.4, "heater": { "maxPowerWatts": 700,
              "thermalCapacityJoulesPerKelvin": 500, "lossWattsPerKelvin": 1.5, "deadTimeSeconds": 4, "lagSeconds": 8, "largestFraction": 0.8, "ambientCelsius": 21 } }
            """;

        var drive = Assert.Single(SourceSamples.Config(Mqtt(Drive)).Testers).Drive!;

        Assert.Equal(new(new()
        {
            LifetimeMilliseconds = 900,
            HighestCelsius = 300,
            AllowanceCelsius = 45,
            ReactionSeconds = 0.4,
            Heater = new() { MaxPowerWatts = 700, ThermalCapacityJoulesPerKelvin = 500, LossWattsPerKelvin = 1.5, DeadTimeSeconds = 4, LagSeconds = 8, LargestFraction = 0.8, AmbientCelsius = 21 },
        }, "lab/b4/set"), drive);
    }

    public static TheoryData<string, string, string> Mistakes => new()
    {
        { Serial().Replace("\"drive\": " + Least + ",", "", StringComparison.Ordinal), "testers[0].drive", "is missing" },
        { Serial("{}"), "testers[0].drive.highestCelsius", "from 40 to 500 °C" },
        { Serial("""{ "highestCelsius": 39 }"""), "testers[0].drive.highestCelsius", "given 39" },
        { Serial("""{ "highestCelsius": 501 }"""), "testers[0].drive.highestCelsius", "from 40 to 500 °C" },
        { Serial("""{ "highestCelsius": 320, "lifetimeMilliseconds": 299 }"""), "testers[0].drive.lifetimeMilliseconds", "from 300 to 10000" },
        { Serial("""{ "highestCelsius": 320, "allowanceCelsius": 4 }"""), "testers[0].drive.allowanceCelsius", "from 5 to 150 °C" },
        { Serial("""{ "highestCelsius": 320, "reactionSeconds": -0.1 }"""), "testers[0].drive.reactionSeconds", "from 0 to 5 s" },
        { Serial("""{ "highestCelsius": 320, "heater": { "maxPowerWatts": 5 } }"""), "testers[0].drive.heater.maxPowerWatts", "not within 10 to 10000" },
        { Serial("""{ "highestCelsius": 320, "heater": { "largestFraction": 0 } }"""), "testers[0].drive.heater.largestFraction", "not within 0.05 to 1" },
        { Serial("""{ "highestCelsius": 320, "heater": { "power": 5 } }"""), "testers[0].drive.heater.power", "no such key" },
        { Serial("""{ "highestCelsius": 320, "topic": "a/b" }"""), "testers[0].drive.topic", "go out by the port" },
        { Serial("""{ "highestCelsius": 320, "fan": 1 }"""), "testers[0].drive.fan", "no such key" },
        { Serial("""{ "highestCelsius": 320, "heater": { "deadTimeSeconds": 21 } }"""), "testers[0].drive.heater.deadTimeSeconds", "not within 0 to 20 s" },
        { Slow(1200), "testers[0].source.baudRate", "need at least 1700 baud. Allowed: that, or a drive.lifetimeMilliseconds of at least 2125" },
        { Slow(1699), "testers[0].source.baudRate", "given 1699" },
        { Slow(1700, more: "\"parity\": \"even\","), "testers[0].source.baudRate", "at least 1870 baud" },
        { Slow(7000, """{ "highestCelsius": 320, "lifetimeMilliseconds": 300 }"""), "testers[0].source.baudRate", "at least 8500 baud" },
        { Serial("7"), "testers[0].drive", "an object" },
        { Serial(columns: Columns.Replace("{ \"channel\": \"command\" },", "", StringComparison.Ordinal)), "testers[0].source", "\"command\"" },
        { Serial(columns: Columns.Replace("{ \"channel\": \"flame\" },", "", StringComparison.Ordinal)), "testers[0].source", "\"flame\"" },
        { Serial(columns: Columns.Replace("{ \"channel\": \"detector\" },", "", StringComparison.Ordinal)), "testers[0].source", "\"detector\"" },
        { Serial(more: "\"autoStart\": { \"methodId\": \"iso-2592-2017\", \"expectedFlashCelsius\": 220, \"specimen\": \"oil\" },"), "testers[0].autoStart", "A person starts" },
        { Serial().Replace("\"driven\"", "\"observed\"", StringComparison.Ordinal), "testers[0].drive", "only a tester of the mode" },
        { Mqtt("""{ "highestCelsius": 320, "topic": "a/+/b" }"""), "testers[0].drive.topic", "without wildcards" },
        { Mqtt("""{ "highestCelsius": 320, "topic": "$SYS/drive" }"""), "testers[0].drive.topic", "not beginning with $" },
        { Mqtt(filter: "acquire/bench-4/#"), "testers[0].drive.topic", "read as readings" },
    };

    [Theory]
    [MemberData(nameof(Mistakes))]
    public void A_mistake_is_reported_with_its_place_and_what_is_allowed(string json, string path, string words)
    {
        Assert.False(ConfigFile.TryParse(json, out _, out var errors));

        Assert.True(errors.Any(error => error.Path == path && error.Message.Contains(words, StringComparison.Ordinal)), string.Join("\n", errors));
    }

    [Fact]
    public void A_serial_line_that_is_just_fast_enough_is_taken()
    {
        // 3 commands and rows, (45 + 5 × 8) characters of 10 bits each, in 1.5 s.
        Assert.Single(SourceSamples.Config(Slow(1700)).Testers);
        Assert.Single(SourceSamples.Config(Slow(1200, """{ "highestCelsius": 320, "lifetimeMilliseconds": 2125 }""")).Testers);
    }

    [Theory]
    [InlineData("lab/+/readings", "driven", true)]
    [InlineData("lab/a/readings", "driven", true)]
    [InlineData("lab/b/readings", "driven", false)]
    [InlineData("lab/+/readings", "observed", false)]
    public void No_tester_is_driven_by_the_readings_of_another(string filter, string mode, bool refused)
    {
        var first = $$"""{ "id": "a", "mode": "driven", "drive": { "highestCelsius": 320 }, "source": {{Fields("lab/a/readings")}} }""";
        var second = $$"""{ "id": "b", "mode": "{{mode}}", {{(mode == "driven" ? "\"drive\": { \"highestCelsius\": 320 }," : "")}} "source": {{Fields(filter)}} }""";

        var taken = ConfigFile.TryParse($$"""{ "testers": [ {{first}}, {{second}} ] }""", out _, out var errors);

        Assert.Equal(refused ? ["testers[1].source.topics[0].filter"] : [], errors.Select(error => error.Path));
        Assert.Equal(!refused, taken);
    }

    [Fact]
    public void Two_testers_are_never_commanded_on_one_topic()
    {
        var tester = $$"""{ "id": "ID", "mode": "driven", "drive": { "highestCelsius": 320, "topic": "lab/drive" }, "source": {{Fields("acquire/ID/readings")}} }""";
        var json = $$"""{ "testers": [ {{tester.Replace("ID", "a", StringComparison.Ordinal)}}, {{tester.Replace("ID", "b", StringComparison.Ordinal)}} ] }""";

        Assert.False(ConfigFile.TryParse(json, out _, out var errors));

        Assert.Equal("testers[1].drive.topic", Assert.Single(errors).Path);
    }
}
