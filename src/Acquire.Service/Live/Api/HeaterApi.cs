using Acquire.Service.Archive;
using Acquire.Service.Lanes;

namespace Acquire.Service.Live.Api;

/// <summary>The call that turns the heater of a driven tester on and off; see docs/api.md.</summary>
internal static class HeaterApi
{
    public static void Map(IEndpointRouteBuilder routes) =>
        routes.MapPost("/api/runs/{id}/heater", (string id, HttpRequest request, LaneSet lanes, RunArchive archive) => HeatAsync(id, request, lanes, archive));

    private static async Task<IResult> HeatAsync(string id, HttpRequest request, LaneSet lanes, RunArchive archive)
    {
        // By its line in the list: no damage to the record may keep the heater from being turned off.
        if (archive.FindSummary(id) is not { } run)
        {
            return ApiAnswers.NoRun(id, archive);
        }

        var (wanted, errors) = await HeaterBody.ReadAsync(request).ConfigureAwait(false);
        if (wanted is null)
        {
            return ApiAnswers.Refused(StatusCodes.Status400BadRequest, errors);
        }

        // Off is not given up because the page that asked was closed meanwhile.
        var answer = lanes.Find(run.TesterId) is not { } lane ? new(CommandOutcome.NotOpen, null, $"run {id} is not open")
            : wanted.On ? await lane.TurnHeaterOnAsync(id, wanted.Person!, request.HttpContext.RequestAborted).ConfigureAwait(false)
            : await lane.TurnHeaterOffAsync(wanted.Person, CancellationToken.None).ConfigureAwait(false);
        return answer.Outcome switch
        {
            CommandOutcome.Done => ApiAnswers.Ok(answer.Run is { } done && done.Id == id ? done : archive.FindSummary(id) ?? run),
            CommandOutcome.NotOpen or CommandOutcome.NotTaken => ApiAnswers.Refused(StatusCodes.Status409Conflict, wanted.On ? "on" : "id", answer.Text!),
            _ => ApiAnswers.Refused(StatusCodes.Status503ServiceUnavailable, "id", answer.Text!),
        };
    }
}
