using System.Text.Json;
using System.Text.Json.Serialization;

namespace Acquire.Simulator;

/// <summary>Writes a specimen as its words and reads them back.</summary>
internal sealed class SpecimenConverter : JsonConverter<Specimen>
{
    public override Specimen Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) =>
        Specimen.TryParse(reader.GetString() ?? "", "specimen", out var specimen, out var error) ? specimen : throw new JsonException(error.Message);

    public override void Write(Utf8JsonWriter writer, Specimen value, JsonSerializerOptions options) => writer.WriteStringValue(value.Words);
}
