using Acquire.Core;
using Acquire.Core.Runs;

namespace Acquire.Service.Live.Api;

/// <summary>What a person saw, and who it was where it was said.</summary>
internal sealed record ObservationBody(Sighting Seen, string? Person)
{
    private static readonly Dictionary<string, Sighting> Words = Enum.GetValues<Sighting>().ToDictionary(PersonEntryWords.Word, StringComparer.Ordinal);

    private static readonly string Allowed = string.Join(", ", Words.Keys);

    private static readonly Dictionary<string, string> Expected = new(StringComparer.Ordinal)
    {
        ["$"] = "an object with seen and, where it is known, person, each once and nothing else",
        ["seen"] = $"is not a text; allowed: {Allowed}",
        ["person"] = $"is neither a text nor null; allowed: {PersonName.Allowed}",
    };

    /// <summary>The observation; null, with errors, where the body does not say it.</summary>
    public static async Task<(ObservationBody? Body, IReadOnlyList<InputError> Errors)> ReadAsync(HttpRequest http)
    {
        var (raw, errors) = await EntryBody.ReadAsync<Raw>(http, Expected).ConfigureAwait(false);
        return raw switch
        {
            null => (null, errors),
            { Seen: null } => Refused("seen", $"is missing; allowed: {Allowed}"),
            { Seen: var word } when !Words.ContainsKey(word) => Refused("seen", $"is no word for what was seen; allowed: {Allowed}"),
            { Person: { } name } when PersonName.WhyNot(name) is { } fault => Refused("person", fault),
            _ => (new(Words[raw.Seen!], raw.Person), []),
        };
    }

    private static (ObservationBody? Body, IReadOnlyList<InputError> Errors) Refused(string path, string message) => (null, [new(path, message)]);

    private sealed record Raw(string? Seen, string? Person);
}
