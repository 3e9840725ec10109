using Acquire.Service.Archive;
using Acquire.Service.Archive.Corrections;
using Acquire.Service.Archive.Keeping;
using Acquire.Service.Lanes;

namespace Acquire.Service.Live.Api;

/// <summary>The calls by which a closed run is corrected, approved and kept; see docs/api.md.</summary>
internal static class CorrectionApi
{
    public static void Map(IEndpointRouteBuilder routes)
    {
        routes.MapPost("/api/runs/{id}/holds", (string id, HttpRequest request, RunKeeper keeper, RunArchive archive) => HoldAsync(id, request, keeper, archive));
        routes.MapGet("/api/runs/{id}/corrections", (string id, RunArchive archive) => archive.FindRun(id) is { } run ? ApiAnswers.Ok(run.Audit) : ApiAnswers.NoRun(id, archive));
        routes.MapPost("/api/runs/{id}/corrections", (string id, HttpRequest request, RunCorrector corrector, RunArchive archive, RunTimelines timelines, LaneSet lanes) =>
            CorrectAsync(id, request, corrector, archive, timelines, lanes));
        routes.MapPost("/api/runs/{id}/approvals", (string id, HttpRequest request, RunCorrector corrector, RunArchive archive) => ApproveAsync(id, request, corrector, archive));
    }

    private static async Task<IResult> HoldAsync(string id, HttpRequest request, RunKeeper keeper, RunArchive archive)
    {
        var (asked, errors) = await HoldBody.ReadAsync(request).ConfigureAwait(false);
        return asked is null
            ? ApiAnswers.Refused(StatusCodes.Status400BadRequest, errors)
            : Answer(id, await keeper.HoldAsync(id, asked.Held, asked.Person, asked.Reason, request.HttpContext.RequestAborted).ConfigureAwait(false), archive);
    }

    private static async Task<IResult> CorrectAsync(string id, HttpRequest request, RunCorrector corrector, RunArchive archive, RunTimelines timelines, LaneSet lanes)
    {
        var (asked, errors) = await CorrectionBody.ReadAsync(request).ConfigureAwait(false);
        if (asked is null)
        {
            return ApiAnswers.Refused(StatusCodes.Status400BadRequest, errors);
        }

        // The altitude is the laboratory's, the same for all testers.
        var altitude = lanes.All.Select(lane => lane.Facts.AltitudeMetres).FirstOrDefault(metres => metres is not null);
        var answer = await corrector.CorrectAsync(id, asked, altitude, request.HttpContext.RequestAborted).ConfigureAwait(false);
        if (answer.Outcome == AuditOutcome.Done)
        {
            timelines.Forget(id);
        }

        return Answer(id, answer, archive);
    }

    private static async Task<IResult> ApproveAsync(string id, HttpRequest request, RunCorrector corrector, RunArchive archive)
    {
        var (person, errors) = await CorrectionBody.ReadPersonAsync(request).ConfigureAwait(false);
        return person is null
            ? ApiAnswers.Refused(StatusCodes.Status400BadRequest, errors)
            : Answer(id, await corrector.ApproveAsync(id, person, request.HttpContext.RequestAborted).ConfigureAwait(false), archive);
    }

    private static IResult Answer(string id, AuditAnswer answer, RunArchive archive) => answer.Outcome switch
    {
        AuditOutcome.Done => ApiAnswers.Ok(archive.FindRun(id)!.Audit, StatusCodes.Status201Created),
        AuditOutcome.NoRun => ApiAnswers.NoRun(id, archive),
        AuditOutcome.Wrong => ApiAnswers.Refused(StatusCodes.Status400BadRequest, answer.Errors),
        AuditOutcome.Forbidden => ApiAnswers.Refused(StatusCodes.Status403Forbidden, answer.Errors),
        AuditOutcome.Conflict => ApiAnswers.Refused(StatusCodes.Status409Conflict, answer.Errors),
        _ => ApiAnswers.Refused(StatusCodes.Status503ServiceUnavailable, answer.Errors),
    };
}
