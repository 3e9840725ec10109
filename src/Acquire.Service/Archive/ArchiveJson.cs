using System.Reflection;
using System.Text.Json;
using System.Text.Json.Serialization;
using Acquire.Core.Runs;
using Acquire.Service.Archive.Corrections;

namespace Acquire.Service.Archive;

/// <summary>The JSON that is stored. Kept apart from the API's, so that a change of the page can never change the record.</summary>
internal static class ArchiveJson
{
    private static readonly JsonSerializerOptions Options = new(JsonSerializerDefaults.Web)
    {
        NumberHandling = JsonNumberHandling.Strict,
        RespectNullableAnnotations = true,
        IgnoreReadOnlyProperties = true,
        PropertyNameCaseInsensitive = false,
        Encoder = System.Text.Encodings.Web.JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
        Converters = { new JsonStringEnumConverter(JsonNamingPolicy.KebabCaseLower, allowIntegerValues: false) },
    };

    private static readonly Dictionary<Type, string> Kinds = typeof(RunOutput)
        .GetCustomAttributes<JsonDerivedTypeAttribute>()
        .ToDictionary(known => known.DerivedType, known => (string)known.TypeDiscriminator!);

    /// <summary>The value as stored. Throws <see cref="ArgumentException"/> for numbers that JSON cannot hold.</summary>
    public static string Write<T>(T value) => JsonSerializer.Serialize(value, Options);

    /// <summary>The word that an event is stored under.</summary>
    public static string KindOf(RunOutput output) => Kinds[output.GetType()];

    /// <summary>The word that a corrected field is stored under.</summary>
    public static string Word(CorrectedField field) => JsonNamingPolicy.KebabCaseLower.ConvertName(field.ToString());

    /// <summary>The field of a stored word; null where there is none.</summary>
    public static CorrectedField? Field(string word) => Enum.GetValues<CorrectedField>().Cast<CorrectedField?>().FirstOrDefault(field => Word(field!.Value) == word);

    /// <summary>Reads a stored value. Throws <see cref="ArchiveCorruptException"/> naming run and part.</summary>
    public static T Read<T>(string json, string runId, string part)
        where T : class
    {
        try
        {
            return JsonSerializer.Deserialize<T>(json, Options) ?? throw new ArchiveCorruptException(runId, part, "it holds null");
        }
        catch (Exception exception) when (exception is JsonException or NotSupportedException)
        {
            throw new ArchiveCorruptException(runId, part, exception.Message.TrimEnd('.'), exception);
        }
    }
}
