using System.Globalization;
using System.Text;
using System.Text.Json;
using Acquire.Core;

namespace Acquire.Service.Live.Api;

/// <summary>A request to turn the heater of a driven tester on or off.</summary>
/// <param name="On">On, or off.</param>
/// <param name="Person">Who turns it on; null where it is turned off.</param>
internal sealed record HeaterRequest(bool On, string? Person);

/// <summary>Reads the body that turns a heater on or off, and says what is wrong with it and where.</summary>
internal static class HeaterBody
{
    /// <summary>Most characters of a person's name.</summary>
    public const int LongestPerson = 80;

    private const string Allowed = "1 to 80 printable characters, not only spaces: who answers for turning the heater on";

    private static readonly JsonSerializerOptions Options = new(LiveJson.Options)
    {
        UnmappedMemberHandling = System.Text.Json.Serialization.JsonUnmappedMemberHandling.Disallow,
        AllowDuplicateProperties = false,
    };

    /// <summary>What is wanted; null, with errors, where the body does not say it.</summary>
    public static async Task<(HeaterRequest? Wanted, IReadOnlyList<InputError> Errors)> ReadAsync(HttpRequest http)
    {
        try
        {
            var body = await JsonSerializer.DeserializeAsync<Body>(http.Body, Options, http.HttpContext.RequestAborted).ConfigureAwait(false);
            return body switch
            {
                null => Refused("$", "is null where an object is expected"),
                { On: null } => Refused("on", "is missing; allowed: true or false"),
                { On: false, Person: null } => (new(false, null), []),
                { On: false } => Refused("person", "is given to turn the heater off; allowed: none"),
                { Person: null } => Refused("person", $"is missing; allowed: {Allowed}"),
                _ when IsName(body.Person) => (new(true, body.Person.Trim()), []),
                _ => Refused("person", $"is no name; allowed: {Allowed}"),
            };
        }
        catch (JsonException exception)
        {
            var path = exception.Path is null or "$" ? "$" : exception.Path.Replace("$.", "", StringComparison.Ordinal);
            return Refused(path, path switch
            {
                "on" => "is neither true nor false",
                "person" => $"is not a text; allowed: {Allowed}",
                _ => "is not the JSON that was expected: an object with on and, to turn the heater on, person, each once and nothing else",
            });
        }
        catch (BadHttpRequestException exception)
        {
            // Too long, or cut off: the server's own words say which.
            return Refused("$", exception.Message);
        }
    }

    // An unpaired surrogate fails to decode; format characters could turn a name around in the record.
    private static bool IsName(string text) => text.Length <= LongestPerson && !string.IsNullOrWhiteSpace(text) && !text.Any(char.IsControl)
        && text.EnumerateRunes().All(rune => rune != Rune.ReplacementChar && Rune.GetUnicodeCategory(rune) is not (UnicodeCategory.Format or UnicodeCategory.LineSeparator
            or UnicodeCategory.ParagraphSeparator or UnicodeCategory.PrivateUse or UnicodeCategory.OtherNotAssigned));

    private static (HeaterRequest? Wanted, IReadOnlyList<InputError> Errors) Refused(string path, string message) => (null, [new(path, message)]);

    private sealed record Body(bool? On, string? Person);
}
