using System.Text.Json;
using Acquire.Core;
using Acquire.Service.Archive.Corrections;

namespace Acquire.Service.Live.Api;

/// <summary>Reads what is to be corrected, to what, why, and who answers for it.</summary>
internal static class CorrectionBody
{
    private static readonly Dictionary<string, CorrectedField> Fields = Enum.GetValues<CorrectedField>()
        .ToDictionary(field => JsonNamingPolicy.KebabCaseLower.ConvertName(field.ToString()), StringComparer.Ordinal);

    private static readonly string AllowedFields = string.Join(", ", Fields.Keys);

    private static readonly Dictionary<string, string> Expected = new(StringComparer.Ordinal)
    {
        ["$"] = "an object with field, value, reason and person, each once and nothing else",
        ["field"] = $"is not a text; allowed: {AllowedFields}",
        ["value"] = "is neither a text nor a number",
        ["reason"] = $"is not a text; allowed: 1 to {CorrectionRequest.LongestText} printable characters",
        ["person"] = $"is not a text; allowed: {PersonName.Allowed}",
    };

    /// <summary>The request; null, with errors, where the body is not one.</summary>
    public static async Task<(CorrectionRequest? Request, IReadOnlyList<InputError> Errors)> ReadAsync(HttpRequest http)
    {
        var (raw, errors) = await EntryBody.ReadAsync<Raw>(http, Expected).ConfigureAwait(false);
        if (raw is null)
        {
            return (null, errors);
        }

        var found = new List<InputError>();
        if (raw.Field is null || !Fields.TryGetValue(raw.Field, out var field))
        {
            return (null, [new("field", $"{(raw.Field is null ? "is missing" : "is no field that can be corrected")}; allowed: {AllowedFields}")]);
        }

        var number = field is CorrectedField.ExpectedFlash or CorrectedField.StationPressure;
        var value = raw.Value ?? default;
        string? text = null;
        if (value.ValueKind != (number ? JsonValueKind.Number : JsonValueKind.String) || (!number && !TryText(value, out text)))
        {
            found.Add(new("value", $"is not {(field switch { CorrectedField.ExpectedFlash => "a number, °C", CorrectedField.StationPressure => "a number, kPa", _ => "a text" })}"));
        }

        if (raw.Reason is null)
        {
            found.Add(new("reason", $"is missing; allowed: 1 to {CorrectionRequest.LongestText} printable characters"));
        }

        found.AddRange(PersonMistakes(raw.Person));
        return found.Count > 0
            ? (null, found)
            : (new(field, text, number ? value.GetDouble() : null, raw.Reason!, raw.Person!), []);
    }

    /// <summary>Who approves; null, with errors, where the body does not say it.</summary>
    public static async Task<(string? Person, IReadOnlyList<InputError> Errors)> ReadPersonAsync(HttpRequest http)
    {
        var (raw, errors) = await EntryBody.ReadAsync<RawPerson>(http, new Dictionary<string, string>(StringComparer.Ordinal)
        {
            ["$"] = "an object with person and nothing else",
            ["person"] = Expected["person"],
        }).ConfigureAwait(false);
        if (raw is null)
        {
            return (null, errors);
        }

        var found = PersonMistakes(raw.Person);
        return found.Count > 0 ? (null, found) : (raw.Person, []);
    }

    /// <summary>What is wrong with a person; empty where nothing is.</summary>
    public static IReadOnlyList<InputError> PersonMistakes(string? person) =>
        person is null ? [new("person", $"is missing; allowed: {PersonName.Allowed}")]
        : PersonName.WhyNot(person) is { } fault ? [new("person", fault)]
        : [];

    // Half of a pair of surrogates is JSON and no text.
    private static bool TryText(JsonElement value, out string? text)
    {
        try
        {
            text = value.GetString();
            return true;
        }
        catch (InvalidOperationException)
        {
            text = null;
            return false;
        }
    }

    private sealed record Raw(string? Field, JsonElement? Value, string? Reason, string? Person);

    private sealed record RawPerson(string? Person);
}
