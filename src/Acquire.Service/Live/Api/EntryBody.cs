using System.Text.Json;
using Acquire.Core;

namespace Acquire.Service.Live.Api;

/// <summary>Reads the small bodies of what a person enters, and says what is wrong with one and where.</summary>
internal static class EntryBody
{
    private static readonly JsonSerializerOptions Options = new(LiveJson.Options)
    {
        UnmappedMemberHandling = System.Text.Json.Serialization.JsonUnmappedMemberHandling.Disallow,
        AllowDuplicateProperties = false,
    };

    /// <summary>The body; null, with errors, where it is not one.</summary>
    /// <param name="http">The request.</param>
    /// <param name="expected">What is allowed in each field, by its path; `$` for the whole.</param>
    public static async Task<(T? Body, IReadOnlyList<InputError> Errors)> ReadAsync<T>(HttpRequest http, IReadOnlyDictionary<string, string> expected)
        where T : class
    {
        try
        {
            var body = await JsonSerializer.DeserializeAsync<T>(http.Body, Options, http.HttpContext.RequestAborted).ConfigureAwait(false);
            return body is null ? (null, [new("$", "is null where an object is expected")]) : (body, []);
        }
        catch (JsonException exception)
        {
            var path = exception.Path is null or "$" ? "$" : exception.Path.Replace("$.", "", StringComparison.Ordinal);
            return (null, [new(path, path != "$" && expected.TryGetValue(path, out var allowed) ? allowed : $"is not the JSON that was expected: {expected["$"]}")]);
        }
        catch (BadHttpRequestException exception)
        {
            // Too long, or cut off: the server's own words say which.
            return (null, [new("$", exception.Message)]);
        }
    }
}
