using Acquire.Core;
using Acquire.Service.Archive;
using Acquire.Service.Lanes;

namespace Acquire.Service.Live.Api;

/// <summary>The calls by which a person enters what was charged and what was seen at the cup, and takes it back; see docs/api.md.</summary>
internal static class ObservationApi
{
    public static Task<IResult> ObserveAsync(string id, HttpRequest request, LaneSet lanes, RunArchive archive) =>
        TakeAsync(id, request, lanes, archive, ObservationBody.ReadAsync, (lane, body, aborted) => lane.ObserveAsync(id, body.Seen, body.Person, aborted));

    public static Task<IResult> WithdrawAsync(string id, HttpRequest request, LaneSet lanes, RunArchive archive) =>
        TakeAsync(id, request, lanes, archive, WithdrawalBody.ReadAsync, (lane, body, aborted) => lane.WithdrawAsync(id, body.AtSeconds, body.Person, aborted));

    public static Task<IResult> ChargeAsync(string id, HttpRequest request, LaneSet lanes, RunArchive archive) =>
        TakeAsync(id, request, lanes, archive, PortionBody.ReadAsync, (lane, body, aborted) => lane.ChargeAsync(id, body.Millilitres, body.Person, aborted));

    private static async Task<IResult> TakeAsync<TBody>(
        string id,
        HttpRequest request,
        LaneSet lanes,
        RunArchive archive,
        Func<HttpRequest, Task<(TBody? Body, IReadOnlyList<InputError> Errors)>> read,
        Func<Lane, TBody, CancellationToken, Task<CommandAnswer>> enter)
        where TBody : class
    {
        if (archive.FindRun(id) is not { } run)
        {
            return ApiAnswers.NoRun(id, archive);
        }

        var (body, errors) = await read(request).ConfigureAwait(false);
        return body is null
            ? ApiAnswers.Refused(StatusCodes.Status400BadRequest, errors)
            : await EnterAsync(run.Summary, lanes, lane => enter(lane, body, request.HttpContext.RequestAborted)).ConfigureAwait(false);
    }

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
