using System.Globalization;
using System.Text;
using System.Text.Json;
using Acquire.Core;

namespace Acquire.Service.Live.Api;

/// <summary>A request to turn the heater of a driven tester on or off.</summary>
/// <param name="On">On, or off.</param>
/// <param name="Person">Who turns it on; null where it is turned off and nobody said who does.</param>
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

    /// <summary>What is wanted; null, with errors, where the body does not say it. Off is taken wherever it can be read, whatever else stands there.</summary>
    public static async Task<(HeaterRequest? Wanted, IReadOnlyList<InputError> Errors)> ReadAsync(HttpRequest http)
    {
        using var body = new MemoryStream();
        InputError? cutShort = null;
        try
        {
            await http.Body.CopyToAsync(body, http.HttpContext.RequestAborted).ConfigureAwait(false);
        }
        catch (BadHttpRequestException exception)
        {
            // Too long, or cut off: the server's own words say which.
            cutShort = new("$", exception.Message);
        }

        var bytes = body.GetBuffer().AsMemory(0, (int)body.Length);
        if (HeaterOffText.TryFind(bytes.Span, out var person))
        {
            return (new(false, person is not null && IsName(person) ? person.Trim() : null), []);
        }

        return cutShort is null ? Read(bytes.Span) : (null, [cutShort]);
    }

    private static (HeaterRequest? Wanted, IReadOnlyList<InputError> Errors) Read(ReadOnlySpan<byte> bytes)
    {
        try
        {
            return JsonSerializer.Deserialize<Body>(bytes, Options) switch
            {
                null => Refused("$", "is null where an object is expected"),
                { On: null } => Refused("on", "is missing; allowed: true or false"),
                { Person: null } => Refused("person", $"is missing; allowed: {Allowed}"),
                { Person: { } person } when IsName(person) => (new(true, person.Trim()), []),
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
    }

    // An unpaired surrogate fails to decode; format characters could turn a name around in the record.
    private static bool IsName(string text) => text.Length <= LongestPerson && !string.IsNullOrWhiteSpace(text) && !text.Any(char.IsControl)
        && text.EnumerateRunes().All(rune => rune != Rune.ReplacementChar && Rune.GetUnicodeCategory(rune) is not (UnicodeCategory.Format or UnicodeCategory.LineSeparator
            or UnicodeCategory.ParagraphSeparator or UnicodeCategory.PrivateUse or UnicodeCategory.OtherNotAssigned));

    private static (HeaterRequest? Wanted, IReadOnlyList<InputError> Errors) Refused(string path, string message) => (null, [new(path, message)]);

    private sealed record Body(bool? On, string? Person);
}
