using System.Text.Json;
using System.Text.Json.Nodes;
using Acquire.Service.Configuration;
using Json.Schema;
using Xunit;

namespace Acquire.Service.Tests.Configuration;

/// <summary>The schema that is shipped says what the reader does: it takes the documented examples and has the reader's keys.</summary>
public sealed class ConfigSchemaTests
{
    private const string Unknown = "zzzzzzzzzzzzzzzz";
    private const string Registers = """ "registers": [ { "channel": "temperature", "unit": "degC", "address": 0 }, { "channel": "flame", "address": 1, "bit": 1 } ] """;
    private static readonly JsonSchema Schema = JsonSchema.FromText(ConfigSchema.Text);
    private static readonly JsonObject Root = JsonNode.Parse(ConfigSchema.Text)!.AsObject();

    private static readonly string[] More =
    [
        """{ "mqtt": { "mode": "external", "connection": "mqtts://h", "tls": { "caFile": "a" } }, "testers": [] }""",
        """{ "roles": { "mayCorrect": [ "R. Halden" ], "mayApprove": [ "A. Berg" ], "mayHold": [ "A. Berg" ], "mayPrune": [] }, "retention": { "keepDays": 3650 }, "testers": [] }""",
        """{ "resume": { "withinMinutes": 5 }, "testers": [] }""",
        Sensor(""" "kind": "direct" """, "degC", """ "lag": { "timeConstantSeconds": 3 }, "limits": {}, """),
        Sensor(""" "kind": "thermistor", "points": [ { "ohms": 32650, "celsius": 0 }, { "ohms": 10000, "celsius": 25 }, { "ohms": 3600, "celsius": 50 } ] """, "ohm"),
        Sensor(""" "kind": "thermistor", "a": 0.001, "b": 0.0002, "c": 0.0000001 """, "ohm"),
        Sensor(""" "kind": "liquid-in-glass", "liquid": "mercury", "immersedToCelsius": 50, "stemCelsius": 30 """, "degC"),
        Sensor(""" "kind": "thermocouple", "type": "K", "referenceJunction": "fixed", "junctionCelsius": 20 """, "uV"),
        ConfigSamples.Serial().Replace("\"bench-1\",", "\"bench-1\", \"uncertainty\": { \"repeatability\": { \"standardDeviationCelsius\": 1, \"results\": 10 } },", StringComparison.Ordinal),
        ConfigSamples.Serial().Replace("\"bench-1\",", "\"bench-1\", \"capture\": { \"largestMegabytes\": 64, \"keepDays\": 30 },", StringComparison.Ordinal),
        ConfigSamples.Tester($""" "kind": "modbus-tcp", "host": "h", {Registers} """),
        ConfigSamples.Tester($""" "kind": "modbus-rtu", "port": "p", "unitId": 1, {Registers} """),
        ConfigSamples.Tester(
            """ "kind": "mqtt", "topics": [ { "filter": "a", "payload": "json", "fields": [ { "path": "t", "channel": "temperature", "unit": "degC" }, { "path": "d", "channel": "detector" }, { "path": "f", "channel": "flame" }, { "path": "c", "channel": "command" } ] } ] """,
            """ "mode": "driven", "drive": { "highestCelsius": 300, "heater": {} }, """),
    ];

    public static TheoryData<string> Examples => [.. File.ReadAllText(Path.Combine(ConfigSamples.RepositoryRoot(), "docs", "configuration.md")).Split("```json").Skip(1).Select(part => part.Split("```")[0]), .. More];

    [Fact]
    public void It_is_of_the_draft_it_names() => Assert.True(MetaSchemas.Draft202012.Evaluate(JsonSerializer.SerializeToElement(Root)).IsValid);

    [Theory]
    [MemberData(nameof(Examples))]
    public void Each_example_fits_the_schema_and_the_reader(string json)
    {
        Assert.True(ConfigFile.TryParse(json, out _, out var mistakes), string.Join("\n", mistakes));
        var result = Schema.Evaluate(JsonSerializer.SerializeToElement(JsonNode.Parse(json)), new() { OutputFormat = OutputFormat.List });

        Assert.True(result.IsValid, string.Join("; ", (result.Details ?? []).Where(detail => detail.Errors is not null).SelectMany(detail => detail.Errors!.Select(error => $"{detail.InstanceLocation}: {error.Value}"))));
    }

    [Fact]
    public void Its_keys_are_those_of_the_reader()
    {
        var asked = new Dictionary<JsonObject, HashSet<string>>(ReferenceEqualityComparer.Instance);
        foreach (string json in Examples.Select(row => row.Data))
        {
            foreach (var path in Objects(JsonNode.Parse(json)!, Root, []).Select(found => found.Path))
            {
                var file = JsonNode.Parse(json)!;
                var (there, described) = Objects(file, Root, []).Single(found => found.Path.SequenceEqual(path)) is var one ? (one.Instance, one.Schema) : default;
                there[Unknown] = 1;
                Assert.False(ConfigFile.TryParse(file.ToJsonString(), out _, out var mistakes));
                var told = mistakes.First(mistake => mistake.Path.EndsWith(Unknown, StringComparison.Ordinal)).Message;
                asked.TryAdd(described, []);
                asked[described].UnionWith(told[(told.IndexOf("Allowed here: ", StringComparison.Ordinal) + 14)..].Split(", "));
            }
        }

        Assert.All(asked, pair => Assert.Equal(pair.Value.Order(StringComparer.Ordinal), pair.Key["properties"]!.AsObject().Select(key => key.Key).Order(StringComparer.Ordinal)));
        var untried = Root["$defs"]!.AsObject().Where(pair => !asked.ContainsKey(pair.Value!.AsObject())).Select(pair => pair.Key);
        Assert.Empty(untried);
    }

    // Every object of a file with its description, outermost first.
    private static IEnumerable<(object[] Path, JsonObject Instance, JsonObject Schema)> Objects(JsonNode instance, JsonNode schema, object[] path)
    {
        if (instance is JsonArray list)
        {
            var items = Options(schema).Select(option => option["items"]).First(found => found is not null)!;
            return list.Index().SelectMany(item => item.Item is null ? [] : Objects(item.Item, items, [.. path, item.Index]));
        }

        if (instance is not JsonObject found)
        {
            return [];
        }

        var described = Options(schema).Single(option => option["properties"] is JsonObject keys && keys.All(key => key.Value!["const"] is not { } word
            || (found[key.Key] is { } given ? JsonNode.DeepEquals(given, word) : word.GetValue<string>() == "embedded")));
        return [(path, found, described), .. found.Where(key => key.Value is not null).SelectMany(key => Objects(key.Value!, described["properties"]![key.Key]!, [.. path, key.Key])).ToArray()];
    }

    private static IEnumerable<JsonObject> Options(JsonNode schema) =>
        schema["$ref"] is { } link ? [Root["$defs"]![link.GetValue<string>().Split('/')[^1]]!.AsObject()]
        : (schema["oneOf"] ?? schema["anyOf"]) is JsonArray choices ? choices.SelectMany(choice => Options(choice!))
        : [schema.AsObject()];

    private static string Sensor(string keys, string unit, string more = "") => ConfigSamples.Tester(
        $$""" "kind": "serial", "port": "p", "columns": [ { "channel": "temperature", "unit": "{{unit}}" } ] """, $$""" "thermometer": { {{more}} "sensor": { {{keys}} } }, """);
}
