using System.Text.Json;
using Acquire.Core;
using Acquire.Core.Runs;

namespace Acquire.Service.Live.Api;

/// <summary>Reads the body that says what a person saw, and says what is wrong with it and where.</summary>
internal static class ObservationBody
{
    private static readonly Dictionary<string, Sighting> Words = Enum.GetValues<Sighting>().ToDictionary(seen => JsonNamingPolicy.KebabCaseLower.ConvertName(seen.ToString()), StringComparer.Ordinal);

    private static readonly JsonSerializerOptions Options = new(LiveJson.Options)
    {
        UnmappedMemberHandling = System.Text.Json.Serialization.JsonUnmappedMemberHandling.Disallow,
        AllowDuplicateProperties = false,
    };

    private static string Allowed => string.Join(", ", Words.Keys);

    /// <summary>What was seen; null, with errors, where the body does not say it.</summary>
    public static async Task<(Sighting? Seen, IReadOnlyList<InputError> Errors)> ReadAsync(HttpRequest http)
    {
        try
        {
            var body = await JsonSerializer.DeserializeAsync<Body>(http.Body, Options, http.HttpContext.RequestAborted).ConfigureAwait(false);
            return body switch
            {
                null => Refused("$", "is null where an object is expected"),
                { Seen: null } => Refused("seen", $"is missing; allowed: {Allowed}"),
                _ when Words.TryGetValue(body.Seen, out var seen) => (seen, []),
                _ => Refused("seen", $"is no word for what was seen; allowed: {Allowed}"),
            };
        }
        catch (JsonException exception)
        {
            var path = exception.Path is null or "$" ? "$" : exception.Path.Replace("$.", "", StringComparison.Ordinal);
            return Refused(path, path == "seen" ? $"is not a text; allowed: {Allowed}" : "is not the JSON that was expected: an object with seen, once and nothing else");
        }
        catch (BadHttpRequestException exception)
        {
            // Too long, or cut off: the server's own words say which.
            return Refused("$", exception.Message);
        }
    }

    private static (Sighting? Seen, IReadOnlyList<InputError> Errors) Refused(string path, string message) => (null, [new(path, message)]);

    private sealed record Body(string? Seen);
}
