using Acquire.Core;
using Acquire.Service.Archive;
using Acquire.Service.Lanes;

namespace Acquire.Service.Live.Api;

/// <summary>The calls by which a person enters what was charged and what was seen at the cup, and takes it back; see docs/api.md.</summary>
internal static class ObservationApi
{
    public static async Task<IResult> ObserveAsync(string id, HttpRequest request, LaneSet lanes, RunArchive archive)
    {
        if (archive.FindRun(id) is not { } run)
        {
            return ApiAnswers.NoRun(id);
        }

        var (body, errors) = await ObservationBody.ReadAsync(request).ConfigureAwait(false);
        return body is null
            ? Refused(errors)
            : await EnterAsync(run.Summary, lanes, lane => lane.ObserveAsync(id, body.Seen, body.Person, request.HttpContext.RequestAborted)).ConfigureAwait(false);
    }

    public static async Task<IResult> WithdrawAsync(string id, HttpRequest request, LaneSet lanes, RunArchive archive)
    {
        if (archive.FindRun(id) is not { } run)
        {
            return ApiAnswers.NoRun(id);
        }

        var (body, errors) = await WithdrawalBody.ReadAsync(request).ConfigureAwait(false);
        return body is null
            ? Refused(errors)
            : await EnterAsync(run.Summary, lanes, lane => lane.WithdrawAsync(id, body.AtSeconds, body.Person, request.HttpContext.RequestAborted)).ConfigureAwait(false);
    }

    public static async Task<IResult> ChargeAsync(string id, HttpRequest request, LaneSet lanes, RunArchive archive)
    {
        if (archive.FindRun(id) is not { } run)
        {
            return ApiAnswers.NoRun(id);
        }

        var (body, errors) = await PortionBody.ReadAsync(request).ConfigureAwait(false);
        return body is null
            ? Refused(errors)
            : await EnterAsync(run.Summary, lanes, lane => lane.ChargeAsync(id, body.Millilitres, body.Person, request.HttpContext.RequestAborted)).ConfigureAwait(false);
    }

    private static IResult Refused(IReadOnlyList<InputError> errors) => ApiAnswers.Refused(StatusCodes.Status400BadRequest, errors);

    private static async Task<IResult> EnterAsync(RunSummary run, LaneSet lanes, Func<Lane, Task<CommandAnswer>> enter)
    {
        var answer = lanes.Find(run.TesterId) is { } lane ? await enter(lane).ConfigureAwait(false) : new(CommandOutcome.NotOpen, null, $"run {run.Id} is not open");
        return answer.Outcome switch
        {
            CommandOutcome.Done => ApiAnswers.Ok(answer.Run),
            CommandOutcome.NotOpen or CommandOutcome.NotTaken => ApiAnswers.Refused(StatusCodes.Status409Conflict, "id", answer.Text!),
            _ => ApiAnswers.Refused(StatusCodes.Status503ServiceUnavailable, "id", answer.Text!),
        };
    }
}
