using Acquire.Core;
using Acquire.Service.Archive.Corrections;

namespace Acquire.Service.Live.Api;

/// <summary>Whether a run is to be kept whatever its age, why, and who answers for it.</summary>
/// <param name="Held">Whether it is.</param>
/// <param name="Reason">Why.</param>
/// <param name="Person">Who.</param>
internal sealed record HoldBody(bool Held, string Reason, string Person)
{
    private static readonly Dictionary<string, string> Expected = new(StringComparer.Ordinal)
    {
        ["$"] = "an object with held, reason and person, each once and nothing else",
        ["held"] = "is not true or false",
        ["reason"] = $"is not a text; allowed: 1 to {CorrectionRequest.LongestText} printable characters",
        ["person"] = $"is not a text; allowed: {PersonName.Allowed}",
    };

    /// <summary>The body; null, with errors, where it is not one.</summary>
    public static async Task<(HoldBody? Body, IReadOnlyList<InputError> Errors)> ReadAsync(HttpRequest http)
    {
        var (raw, errors) = await EntryBody.ReadAsync<Raw>(http, Expected).ConfigureAwait(false);
        if (raw is null)
        {
            return (null, errors);
        }

        var found = new List<InputError>(CorrectionBody.PersonMistakes(raw.Person));
        if (raw.Held is null)
        {
            found.Add(new("held", "is missing; allowed: true or false"));
        }

        if (CorrectionRules.WhyNoText("reason", raw.Reason) is { } wrong)
        {
            found.Add(wrong);
        }

        return found.Count > 0 ? (null, found) : (new(raw.Held!.Value, raw.Reason!, raw.Person!), []);
    }

    private sealed record Raw(bool? Held, string? Reason, string? Person);
}
