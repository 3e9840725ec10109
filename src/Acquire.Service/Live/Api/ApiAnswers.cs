using Acquire.Core;

namespace Acquire.Service.Live.Api;

/// <summary>The answers of the API.</summary>
internal static class ApiAnswers
{
    /// <summary>200, or another status, with a body.</summary>
    public static IResult Ok<T>(T body, int status = StatusCodes.Status200OK) => Results.Json(body, LiveJson.Options, statusCode: status);

    /// <summary>A refusal that names what was wrong.</summary>
    public static IResult Refused(int status, IReadOnlyList<InputError> errors) => Ok(new ErrorBody(errors), status);

    /// <summary>A refusal with one reason.</summary>
    public static IResult Refused(int status, string path, string message) => Refused(status, [new(path, message)]);

    /// <summary>404 for a run.</summary>
    public static IResult NoRun(string id) => Refused(StatusCodes.Status404NotFound, "id", $"there is no run '{id}'");

    /// <summary>404 for a tester.</summary>
    public static IResult NoTester(string id, IEnumerable<string> known) =>
        Refused(StatusCodes.Status404NotFound, "id", $"there is no tester '{id}'; known: {string.Join(", ", known)}");

    private sealed record ErrorBody(IReadOnlyList<InputError> Errors);
}
