using Acquire.Core;

namespace Acquire.Service.Live.Api;

/// <summary>Which observation is taken back, and by whom; both may be left out.</summary>
internal sealed record WithdrawalBody(double? AtSeconds, string? Person)
{
    private static readonly Dictionary<string, string> Expected = new(StringComparer.Ordinal)
    {
        ["$"] = "an object, with atSeconds and person where they are known, each once and nothing else",
        ["atSeconds"] = "is neither a number, s, nor null; it is the atSeconds of the observation that is taken back",
        ["person"] = $"is neither a text nor null; allowed: {PersonName.Allowed}",
    };

    /// <summary>The withdrawal; null, with errors, where the body is not one.</summary>
    public static async Task<(WithdrawalBody? Body, IReadOnlyList<InputError> Errors)> ReadAsync(HttpRequest http)
    {
        var (body, errors) = await EntryBody.ReadAsync<WithdrawalBody>(http, Expected).ConfigureAwait(false);
        return body?.Person is { } name && PersonName.WhyNot(name) is { } fault ? (null, [new("person", fault)]) : (body, errors);
    }
}
