using System.Globalization;
using System.Text.Json;
using System.Text.Json.Nodes;
using System.Text.Json.Serialization.Metadata;
using Acquire.Core.Methods;
using Acquire.Core.Methods.Reading;
using Json.Schema;
using Xunit;

namespace Acquire.Core.Tests.Methods;

/// <summary>The schema that is shipped says what the reader does: the same keys, the same of them required, the same limits.</summary>
public sealed class MethodSchemaTests
{
    private static readonly JsonSchema Schema = JsonSchema.FromText(MethodSchema.Text);

    private static readonly JsonObject Root = JsonNode.Parse(MethodSchema.Text)!.AsObject();

    public static TheoryData<string> Ids => new(MethodCatalog.All.Select(method => method.Id));

    private static bool Fits(JsonNode file) => Schema.Evaluate(JsonSerializer.SerializeToElement(file)).IsValid;

    private static JsonObject File(string id) =>
        MethodCatalog.TryFind(id, out var method) ? JsonNode.Parse(MethodFile.ToJson(method))!.AsObject() : throw new ArgumentException(id, nameof(id));

    [Fact]
    public void It_is_of_the_draft_it_names_and_describes_every_key()
    {
        Assert.Equal("https://json-schema.org/draft/2020-12/schema", Root["$schema"]!.GetValue<string>());
        Assert.True(MetaSchemas.Draft202012.Evaluate(JsonSerializer.SerializeToElement(Root)).IsValid);
        Assert.All(Objects(Root), described => Assert.All(described["properties"]!.AsObject(), key => Assert.True(key.Value!["description"] is not null, key.Key)));
    }

    [Theory]
    [MemberData(nameof(Ids))]
    public void Each_method_that_comes_with_the_program_fits(string id)
    {
        var result = Schema.Evaluate(JsonSerializer.SerializeToElement(File(id)), new() { OutputFormat = OutputFormat.List });

        Assert.True(result.IsValid, string.Join("; ", (result.Details ?? []).Where(detail => detail.Errors is not null).SelectMany(detail => detail.Errors!.Select(error => $"{detail.InstanceLocation}: {error.Value}"))));
    }

    [Fact]
    public void Its_keys_are_those_of_the_reader()
    {
        Compare(typeof(MethodDefinition), Root, "$");
    }

    [Theory]
    [MemberData(nameof(Ids))]
    public void A_number_beyond_its_limits_is_refused_by_both_at_its_path(string id)
    {
        var limits = 0;
        foreach (var (path, lowest, highest) in Limits(File(id), Root, "").ToArray())
        {
            foreach (var beyond in new[] { lowest - 1, highest + 1 })
            {
                var file = File(id);
                Put(file, path, beyond);
                Assert.False(Fits(file), $"{path} = {beyond} fits");
                Assert.False(MethodFile.TryParse(file.ToJsonString(), out _, out var errors));
                Assert.Contains(errors, error => error.Path == path);
                limits++;
            }
        }

        Assert.True(limits > 20);
    }

    private static void Compare(Type type, JsonObject schema, string path)
    {
        var known = MethodFile.ReaderOptions.GetTypeInfo(type);
        if (known.Kind == JsonTypeInfoKind.Enumerable)
        {
            Compare(known.ElementType!, Resolve(schema["items"]!), path + "[]");
            return;
        }

        if (known.Kind != JsonTypeInfoKind.Object)
        {
            return;
        }

        var keys = MethodShape.Keys(known).ToArray();
        var described = schema["properties"]!.AsObject();
        Assert.Equal(keys.Select(key => key.Property.Name).Order(StringComparer.Ordinal), described.Select(key => key.Key).Where(key => key != MethodShape.SchemaKey).Order(StringComparer.Ordinal));
        Assert.Equal(keys.Where(key => key.Required).Select(key => key.Property.Name).Order(StringComparer.Ordinal), schema["required"]!.AsArray().Select(key => key!.GetValue<string>()).Order(StringComparer.Ordinal));
        Assert.False(schema["additionalProperties"]!.GetValue<bool>(), path);
        foreach (var (property, _) in keys)
        {
            var below = Resolve(described[property.Name]!);
            var inner = Nullable.GetUnderlyingType(property.PropertyType) ?? property.PropertyType;
            if (inner.IsEnum)
            {
                Assert.Equal(Enum.GetNames(inner).Select(JsonNamingPolicy.KebabCaseLower.ConvertName), below["enum"]!.AsArray().Select(word => word!.GetValue<string>()));
            }
            else
            {
                Compare(inner, below, $"{path}.{property.Name}");
            }
        }
    }

    private static JsonObject Resolve(JsonNode node)
    {
        var schema = node.AsObject();
        schema = schema["anyOf"] is JsonArray choices ? choices[0]!.AsObject() : schema;
        return schema["$ref"] is { } name ? Root["$defs"]![name.GetValue<string>()["#/$defs/".Length..]]!.AsObject() : schema;
    }

    private static IEnumerable<JsonObject> Objects(JsonNode? node) => node switch
    {
        JsonObject found => (found["properties"] is JsonObject ? [found] : Array.Empty<JsonObject>()).Concat(found.SelectMany(pair => Objects(pair.Value))),
        JsonArray list => list.SelectMany(Objects),
        _ => [],
    };

    private static IEnumerable<(string Path, double Lowest, double Highest)> Limits(JsonNode? value, JsonObject schema, string path)
    {
        if (value is JsonObject file)
        {
            return file.SelectMany(pair => Limits(pair.Value, Resolve(schema["properties"]![pair.Key]!), path.Length == 0 ? pair.Key : $"{path}.{pair.Key}"));
        }

        if (value is JsonArray list && schema["items"] is { } items)
        {
            return list.SelectMany((item, index) => Limits(item, Resolve(items), string.Create(CultureInfo.InvariantCulture, $"{path}[{index}]")));
        }

        return schema["minimum"] is { } lowest ? [(path, lowest.GetValue<double>(), schema["maximum"]!.GetValue<double>())] : [];
    }

    private static void Put(JsonNode file, string path, double number)
    {
        var steps = path.Replace("[", ".[", StringComparison.Ordinal).Split('.');
        JsonNode Step(JsonNode node, string step) => step[0] == '[' ? node[int.Parse(step[1..^1], CultureInfo.InvariantCulture)]! : node[step]!;
        var holder = steps[..^1].Aggregate(file, Step);
        if (steps[^1][0] == '[')
        {
            holder[int.Parse(steps[^1][1..^1], CultureInfo.InvariantCulture)] = number;
        }
        else
        {
            holder[steps[^1]] = number;
        }
    }
}
