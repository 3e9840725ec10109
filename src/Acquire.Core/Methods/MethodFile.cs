using System.Diagnostics.CodeAnalysis;
using System.Text.Json;
using System.Text.Json.Serialization;

namespace Acquire.Core.Methods;

/// <summary>Reads a method from JSON and says what is wrong with it, and where.</summary>
public static class MethodFile
{
    private static readonly JsonSerializerOptions Options = new(JsonSerializerDefaults.Web)
    {
        UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow,
        NumberHandling = JsonNumberHandling.Strict,
        RespectNullableAnnotations = true,
        RespectRequiredConstructorParameters = true,
        PropertyNameCaseInsensitive = false,
        WriteIndented = true,
        Encoder = System.Text.Encodings.Web.JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
        Converters = { new JsonStringEnumConverter(JsonNamingPolicy.KebabCaseLower, allowIntegerValues: false) },
    };

    /// <summary>Reads a method. On failure the method is null and the errors name each key and what it may hold.</summary>
    public static bool TryParse(string json, [NotNullWhen(true)] out MethodDefinition? method, out IReadOnlyList<InputError> errors)
    {
        ArgumentNullException.ThrowIfNull(json);
        method = null;
        try
        {
            var read = JsonSerializer.Deserialize<MethodDefinition>(json, Options);
            if (read is null)
            {
                errors = [new("$", "the file holds null where a method object is expected")];
                return false;
            }

            errors = MethodRules.Check(read);
            method = errors.Count == 0 ? read : null;
            return method is not null;
        }
        catch (JsonException exception)
        {
            errors = [new(Path(exception.Path), Explain(exception))];
            return false;
        }
    }

    /// <summary>The method as a file that <see cref="TryParse"/> reads back to the same value.</summary>
    public static string ToJson(MethodDefinition method) => JsonSerializer.Serialize(method, Options);

    // The same form as the paths of MethodRules: keys joined by dots, `$` for the whole file.
    private static string Path(string? path) => path is null or "$" ? "$" : path.StartsWith("$.", StringComparison.Ordinal) ? path[2..] : path;

    private static string Explain(JsonException exception)
    {
        var line = exception.LineNumber is { } number ? $" (line {number + 1})" : "";
        var text = exception.InnerException is null ? exception.Message : exception.InnerException.Message;
        var cut = text.IndexOf(" Path:", StringComparison.Ordinal);
        return (cut > 0 ? text[..cut] : text) + line;
    }
}
