using Acquire.Core;
using Acquire.Service.Archive;

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

    /// <summary>404 for a run; 410 with who, when and why where it was pruned.</summary>
    public static IResult NoRun(string id, RunArchive archive) => archive.FindPruning(id) is { } pruning
        ? Refused(StatusCodes.Status410Gone, "id", $"run {id} was pruned on {pruning.At.UtcDateTime:yyyy-MM-dd} by {pruning.Person}: {pruning.Reason}")
        : Refused(StatusCodes.Status404NotFound, "id", $"there is no run '{id}'");

    /// <summary>404 for a tester.</summary>
    public static IResult NoTester(string id, IEnumerable<string> known) =>
        Refused(StatusCodes.Status404NotFound, "id", $"there is no tester '{id}'; known: {string.Join(", ", known)}");

    private sealed record ErrorBody(IReadOnlyList<InputError> Errors);
}
