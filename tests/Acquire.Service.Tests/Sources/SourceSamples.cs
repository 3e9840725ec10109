using Acquire.Core.Readings;
using Acquire.Service.Configuration;
using Acquire.Service.Lanes;
using CsCheck;
using Xunit;

namespace Acquire.Service.Tests.Sources;

/// <summary>Sources, inboxes and waits for tests.</summary>
internal static class SourceSamples
{
    /// <summary>The columns that most tests use.</summary>
    public const string FullColumns = """ "columns": [ { "channel": "time", "unit": "s" }, { "channel": "temperature", "unit": "degC" }, { "channel": "detector" }, { "channel": "flame" } ] """;

    /// <summary>A thermocouple whose junction the tester measures.</summary>
    public const string MeasuredJunction = """ "thermometer": { "sensor": { "kind": "thermocouple", "type": "K", "referenceJunction": "measured" } }, """;

    /// <summary>A file with testers, read as the service reads it.</summary>
    public static AcquireConfig Config(string json)
    {
        Assert.True(ConfigFile.TryParse(json, out var config, out var errors), string.Join("\n", errors));
        return config;
    }

    /// <summary>A serial source on a port; <paramref name="thermometer"/> is the whole key, with its comma.</summary>
    public static SourceConfig.Serial Serial(string port, string more = "\"baudRate\": 115200", string columns = FullColumns, string thermometer = "") =>
        (SourceConfig.Serial)Config($$"""{ "testers": [ { "id": "a", {{thermometer}} "source": { "kind": "serial", "port": "{{port}}", {{columns}}, {{more}} } } ] }""").Testers[0].Source;

    /// <summary>An MQTT source with topics; <paramref name="thermometer"/> is the whole key, with its comma.</summary>
    public static SourceConfig.Mqtt Mqtt(string topics, string thermometer = "") =>
        (SourceConfig.Mqtt)Config($$"""{ "testers": [ { "id": "a", {{thermometer}} "source": { "kind": "mqtt", "topics": [ {{topics}} ] } } ] }""").Testers[0].Source;

    /// <summary>A JSON topic with time, temperature, optional nested detector and flame.</summary>
    public static string JsonTopic(string filter) => $$"""
        { "filter": "{{filter}}", "payload": "json", "fields": [ { "path": "time_s", "channel": "time", "unit": "s" }, { "path": "temperature_c", "channel": "temperature", "unit": "degC" },
          { "path": "ignition.detector", "channel": "detector", "optional": true }, { "path": "flame", "channel": "flame", "optional": true } ] }
        """;

    /// <summary>A temperature topic of one number.</summary>
    public static string NumberTopic(string filter, string unit = "degC") => $$"""{ "filter": "{{filter}}", "payload": "number", "channel": "temperature", "unit": "{{unit}}" }""";

    /// <summary>An inbox on the real clock.</summary>
    public static LaneInbox Inbox(int capacity = 4096) => new("a", capacity, TimeProvider.System);

    /// <summary>Everything that waits in an inbox.</summary>
    public static List<ReadingRow> Drain(LaneInbox inbox)
    {
        var rows = new List<ReadingRow>();
        while (inbox.Rows.TryRead(out var row))
        {
            rows.Add(row);
        }

        return rows;
    }

    /// <summary>Waits until something holds, at most 15 s.</summary>
    public static async Task Until(Func<bool> holds, string what, CancellationToken cancellationToken, Func<string>? seen = null)
    {
        var start = TimeProvider.System.GetTimestamp();
        while (!holds())
        {
            Assert.True(TimeProvider.System.GetElapsedTime(start) < TimeSpan.FromSeconds(15), $"Waited in vain: {what}{(seen is null ? "" : "; seen: " + seen())}");
            await Task.Delay(TimeSpan.FromMilliseconds(10), TimeProvider.System, cancellationToken);
        }
    }

    /// <summary>One of a few words.</summary>
    public static Gen<string> OneOf(params string[] words) => Gen.Int[0, words.Length - 1].Select(index => words[index]);

    /// <summary>Lets real time pass.</summary>
    public static Task Pause(double seconds, CancellationToken cancellationToken) => Task.Delay(TimeSpan.FromSeconds(seconds), TimeProvider.System, cancellationToken);
}
