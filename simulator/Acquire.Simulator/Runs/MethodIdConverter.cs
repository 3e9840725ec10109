using System.Text.Json;
using System.Text.Json.Serialization;
using Acquire.Core.Methods;

namespace Acquire.Simulator;

/// <summary>Writes a method as its id; reads back only ids that are in the catalogue.</summary>
internal sealed class MethodIdConverter : JsonConverter<MethodDefinition>
{
    public override MethodDefinition Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options)
    {
        var id = reader.GetString() ?? "";
        return MethodCatalog.TryFind(id, out var method) ? method : throw new JsonException(MethodCatalog.Unknown("method", id).Message);
    }

    public override void Write(Utf8JsonWriter writer, MethodDefinition value, JsonSerializerOptions options) => writer.WriteStringValue(value.Id);
}
