using System.Text.Json;
using Acquire.Core;

namespace Acquire.Service.Live.Api;

/// <summary>Reads the body of a start request, and says what is wrong with it and where.</summary>
internal static class StartRunBody
{
    private static readonly JsonSerializerOptions Options = new(LiveJson.Options)
    {
        UnmappedMemberHandling = System.Text.Json.Serialization.JsonUnmappedMemberHandling.Disallow,
        AllowDuplicateProperties = false,
    };

    /// <summary>The request; null, with errors, where the body is not one.</summary>
    public static async Task<(StartRunRequest? Request, IReadOnlyList<InputError> Errors)> ReadAsync(HttpRequest http)
    {
        try
        {
            var body = await JsonSerializer.DeserializeAsync<Body>(http.Body, Options, http.HttpContext.RequestAborted).ConfigureAwait(false);
            return body is null ? (null, [new("$", "is null where an object is expected")]) : Complete(body);
        }
        catch (JsonException exception)
        {
            var path = exception.Path is null or "$" ? "$" : exception.Path.Replace("$.", "", StringComparison.Ordinal);
            return (null, [new(path, Explain(path, exception))]);
        }
        catch (BadHttpRequestException exception)
        {
            // Too long, or cut off: the server's own words say which.
            return (null, [new("$", exception.Message)]);
        }
    }

    private static (StartRunRequest? Request, IReadOnlyList<InputError> Errors) Complete(Body body)
    {
        var errors = new List<InputError>();
        Present(errors, "methodId", body.MethodId, "the id of a method, see /api/methods");
        Present(errors, "expectedFlashCelsius", body.Scouting == true || body.SpecificationCelsius is not null ? 0 : body.ExpectedFlashCelsius, "a number, °C");
        Present(errors, "specimen", body.Specimen, "what is in the cup");
        return errors.Count > 0
            ? (null, errors)
            : (new(body.MethodId!, body.ExpectedFlashCelsius, body.StationPressureKilopascals, body.Specimen!, body.StationPressure, body.Material, body.Scouting == true, body.SpecificationCelsius, body.FineStep == true), errors);
    }

    private static void Present(List<InputError> errors, string path, object? value, string expected)
    {
        if (value is null)
        {
            errors.Add(new(path, $"is missing; expected: {expected}"));
        }
    }

    private static string Explain(string path, JsonException exception) => path switch
    {
        "methodId" or "specimen" or "stationPressure" or "material" => "is not a text",
        "expectedFlashCelsius" => "is neither a number, °C, nor null",
        "specificationCelsius" => "is neither a number, °C, nor null",
        "scouting" or "fineStep" => "is neither true nor false",
        "stationPressureKilopascals" => "is neither a number, kPa, nor null",
        _ => $"is not the JSON that was expected (line {exception.LineNumber + 1 ?? 1}): an object with methodId, expectedFlashCelsius, stationPressureKilopascals or stationPressure, specimen, and where they apply material, scouting, specificationCelsius and fineStep, each once and nothing else",
    };

    private sealed record Body(string? MethodId, double? ExpectedFlashCelsius, double? StationPressureKilopascals, string? Specimen, string? StationPressure, string? Material, bool? Scouting, double? SpecificationCelsius, bool? FineStep);
}
