using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using System.Text;
using System.Text.Json;
using System.Text.Json.Serialization;
using System.Text.Json.Serialization.Metadata;
using Acquire.Core.Methods.Reading;

namespace Acquire.Core.Methods;

/// <summary>Reads a method from JSON and says everything that is wrong with it, and where.</summary>
public static class MethodFile
{
    private const int MostErrors = 100;

    private static readonly JsonSerializerOptions Options = new(JsonSerializerDefaults.Web)
    {
        TypeInfoResolver = new DefaultJsonTypeInfoResolver(),
        NumberHandling = JsonNumberHandling.Strict,
        RespectNullableAnnotations = true,
        RespectRequiredConstructorParameters = true,
        PropertyNameCaseInsensitive = false,
        DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
        WriteIndented = true,
        NewLine = "\n",
        Encoder = System.Text.Encodings.Web.JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
        Converters = { new JsonStringEnumConverter(JsonNamingPolicy.KebabCaseLower, allowIntegerValues: false) },
    };

    /// <summary>How the reader understands a type; the schema is compared with it.</summary>
    internal static JsonSerializerOptions ReaderOptions => Options;

    /// <summary>Reads a method. On failure the method is null and the errors name each key, what it may hold, and its line where there is one.</summary>
    public static bool TryParse(string json, [NotNullWhen(true)] out MethodDefinition? method, out IReadOnlyList<InputError> errors)
    {
        ArgumentNullException.ThrowIfNull(json);
        method = null;
        var bytes = Encoding.UTF8.GetBytes(json);
        try
        {
            using var document = JsonDocument.Parse(bytes);
            var found = new List<InputError>();
            var shape = new MethodShape(Options, found);
            shape.Check(document.RootElement);
            var read = shape.Readable ? document.Deserialize<MethodDefinition>(Options) : null;
            found.AddRange(read is null ? [] : MethodRules.Check(read));
            errors = MethodLines.Number(bytes, Shortened(found));
            method = errors.Count == 0 ? read : null;
            return method is not null;
        }
        catch (JsonException exception)
        {
            errors = [new("$", Explain(exception))];
            return false;
        }
    }

    /// <summary>The method as a file that <see cref="TryParse"/> reads back to the same value.</summary>
    public static string ToJson(MethodDefinition method) => JsonSerializer.Serialize(method, Options);

    // A file of something else altogether is recognised by its first mistakes.
    private static List<InputError> Shortened(List<InputError> found) =>
        found.Count <= MostErrors ? found : [.. found.Take(MostErrors), new("$", string.Create(CultureInfo.InvariantCulture, $"and {found.Count - MostErrors} more mistakes"))];

    private static string Explain(JsonException exception)
    {
        var line = exception.LineNumber is { } number ? $" (line {number + 1})" : "";
        var cut = exception.Message.IndexOf(" LineNumber:", StringComparison.Ordinal);
        return "this is not JSON: " + (cut > 0 ? exception.Message[..cut] : exception.Message) + line;
    }
}
