using System.Globalization;
using Acquire.Core.Control;

namespace Acquire.EndToEnd.Tests.Rig;

/// <summary>Writes acquire.json as docs/configuration.md describes it.</summary>
internal static class ConfigText
{
    /// <summary>Testers on serial lines only.</summary>
    public static string Of(params string[] testers) => Whole("", testers);

    /// <summary>Testers that publish to the broker inside the service.</summary>
    public static string Embedded(int brokerPort, params string[] testers) =>
        Whole(string.Create(CultureInfo.InvariantCulture, $$""" "mqtt": { "mode": "embedded", "port": {{brokerPort}} }, """), testers);

    /// <summary>Testers that publish to a broker elsewhere.</summary>
    public static string External(int brokerPort, params string[] testers) =>
        Whole(string.Create(CultureInfo.InvariantCulture, $$""" "mqtt": { "mode": "external", "connection": "mqtt://127.0.0.1:{{brokerPort}}?clientId=acquire-lab-1" }, """), testers);

    /// <summary>The same with methods of the laboratory's own, in the folder `methods` beside the file.</summary>
    public static string WithMethods(string config) => config.Replace("\"dataDirectory\"", "\"methodsDirectory\": \"methods\", \"dataDirectory\"", StringComparison.Ordinal);

    /// <summary>A tester on a serial line.</summary>
    public static string Serial(string id, string port, string more = "") => $$"""
        { "id": "{{id}}", {{more}} "source": { "kind": "serial", "port": "{{port}}", "baudRate": 115200, "columns": [
          { "channel": "time", "unit": "s" }, { "channel": "temperature", "unit": "degC" }, { "channel": "detector" }, { "channel": "flame" } ] } }
        """;

    /// <summary>A tester that is polled; its source is given as keys.</summary>
    public static string Polled(string id, string source) => $$"""{ "id": "{{id}}", "source": { {{source}} } }""";

    /// <summary>A tester that publishes JSON.</summary>
    public static string Mqtt(string id, string more = "") => $$"""
        { "id": "{{id}}", {{more}} "source": { "kind": "mqtt", "topics": [ { "filter": "acquire/{{id}}/readings", "payload": "json", "fields": [
          { "path": "time_s", "channel": "time", "unit": "s" }, { "path": "temperature_c", "channel": "temperature", "unit": "degC" },
          { "path": "detector", "channel": "detector" }, { "path": "flame", "channel": "flame", "optional": true } ] } ] } }
        """;

    /// <summary>A tester with a thermometer alone, worked by a person.</summary>
    public static string Guided(string id) => $$"""
        { "id": "{{id}}", "mode": "guided", "staleAfterSeconds": 300, "source": { "kind": "mqtt", "topics": [ { "filter": "acquire/{{id}}/readings", "payload": "json", "fields": [
          { "path": "time_s", "channel": "time", "unit": "s" }, { "path": "temperature_c", "channel": "temperature", "unit": "degC" } ] } ] } }
        """;

    /// <summary>A driven tester on a serial line.</summary>
    public static string DrivenSerial(string id, string port, DriveSettings drive) => $$"""
        { "id": "{{id}}", {{Drive(drive)}} "source": { "kind": "serial", "port": "{{port}}", "baudRate": 115200, "columns": [
          { "channel": "time", "unit": "s" }, { "channel": "temperature", "unit": "degC" }, { "channel": "detector" }, { "channel": "flame" },
          { "channel": "command" }, { "channel": "heater", "unit": "1" } ] } }
        """;

    /// <summary>A driven tester behind a broker.</summary>
    public static string DrivenMqtt(string id, DriveSettings drive) => $$"""
        { "id": "{{id}}", {{Drive(drive)}} "source": { "kind": "mqtt", "topics": [ { "filter": "acquire/{{id}}/readings", "payload": "json", "fields": [
          { "path": "time_s", "channel": "time", "unit": "s" }, { "path": "temperature_c", "channel": "temperature", "unit": "degC" },
          { "path": "detector", "channel": "detector" }, { "path": "flame", "channel": "flame" },
          { "path": "command", "channel": "command" }, { "path": "heater", "channel": "heater", "unit": "1" } ] } ] } }
        """;

    private static string Drive(DriveSettings drive) => string.Create(CultureInfo.InvariantCulture, $$"""
        "mode": "driven", "drive": { "highestCelsius": {{drive.HighestCelsius}}, "lifetimeMilliseconds": {{drive.LifetimeMilliseconds}}, "reactionSeconds": {{drive.ReactionSeconds}},
          "heater": { "maxPowerWatts": {{drive.Heater.MaxPowerWatts}}, "thermalCapacityJoulesPerKelvin": {{drive.Heater.ThermalCapacityJoulesPerKelvin}},
            "lossWattsPerKelvin": {{drive.Heater.LossWattsPerKelvin}}, "deadTimeSeconds": {{drive.Heater.DeadTimeSeconds}}, "lagSeconds": {{drive.Heater.LagSeconds}} } },
        """);

    /// <summary>A tester that is driven by messages; its limits are those of an open cup of oil.</summary>
    public static string DrivenByMessages(string id) => $$"""
        { "id": "{{id}}", "mode": "driven", "drive": { "highestCelsius": 320 }, "source": { "kind": "mqtt", "topics": [ { "filter": "acquire/{{id}}/readings", "payload": "json", "fields": [
          { "path": "time_s", "channel": "time", "unit": "s" }, { "path": "temperature_c", "channel": "temperature", "unit": "degC", "optional": true },
          { "path": "detector", "channel": "detector" }, { "path": "flame", "channel": "flame" },
          { "path": "command", "channel": "command", "optional": true }, { "path": "heater", "channel": "heater", "unit": "1" } ] } ] } }
        """;

    private static string Whole(string mqtt, string[] testers) =>
        $$"""{ "listen": "http://127.0.0.1:0", "dataDirectory": "data", {{mqtt}} "testers": [ {{string.Join(",\n", testers)}} ] }""";
}
