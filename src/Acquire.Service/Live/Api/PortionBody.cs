using System.Globalization;
using Acquire.Core;
using Acquire.Core.Runs;

namespace Acquire.Service.Live.Api;

/// <summary>A fresh test portion: its volume, and who charged it; both may be left out.</summary>
internal sealed record PortionBody(double? Millilitres, string? Person)
{
    private static readonly Dictionary<string, string> Expected = new(StringComparer.Ordinal)
    {
        ["$"] = "an object, with millilitres and person where they are known, each once and nothing else",
        ["millilitres"] = "is neither a number, mL, nor null",
        ["person"] = $"is neither a text nor null; allowed: {PersonName.Allowed}",
    };

    /// <summary>The portion; null, with errors, where the body is not one.</summary>
    public static async Task<(PortionBody? Body, IReadOnlyList<InputError> Errors)> ReadAsync(HttpRequest http)
    {
        var (body, errors) = await EntryBody.ReadAsync<PortionBody>(http, Expected).ConfigureAwait(false);
        var range = PortionCharged.MillilitresRange;
        return body switch
        {
            { Person: { } name } when PersonName.WhyNot(name) is { } fault => (null, [new("person", fault)]),
            { Millilitres: { } volume } when !range.Contains(volume) => (null, [new("millilitres", string.Create(CultureInfo.InvariantCulture, $"{volume} is not within {range.From} to {range.To} mL"))]),
            _ => (body, errors),
        };
    }
}
