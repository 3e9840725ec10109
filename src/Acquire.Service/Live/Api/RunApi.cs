using System.Globalization;
using Acquire.Core;
using Acquire.Service.Archive;
using Acquire.Service.Archive.Curves;
using Acquire.Service.Configuration;
using Acquire.Service.Lanes;
using Acquire.Service.Sources.Capture;

namespace Acquire.Service.Live.Api;

/// <summary>The calls about runs; see docs/api.md.</summary>
internal static class RunApi
{
    public static void Map(IEndpointRouteBuilder routes)
    {
        routes.MapGet("/api/runs", (HttpRequest request, RunArchive archive) => List(request.Query, archive));
        routes.MapGet("/api/runs/{id}", (string id, RunArchive archive, CaptureFolder captures) => archive.FindRun(id) is { } run ? ApiAnswers.Ok(run with { WireBytes = captures.SizeOf(id) }) : ApiAnswers.NoRun(id, archive));
        routes.MapGet("/api/runs/{id}/wire", (string id, RunArchive archive, CaptureFolder captures, CancellationToken aborted) => Wire(id, archive, captures, aborted));
        routes.MapGet("/api/runs/{id}/curve", (string id, string? from, string? width, RunTimelines timelines, RunArchive archive) => width is null ? Curve(id, from, timelines, archive) : Decimated(id, from, width, archive));
        routes.MapGet("/api/runs/{id}/readings.csv", (string id, RunArchive archive) => archive.FindRun(id) is { } run ? new ReadingsCsv(id, run.Plan, archive) : ApiAnswers.NoRun(id, archive));
        routes.MapGet("/api/runs/{id}/observations.csv", (string id, RunArchive archive) => archive.FindRun(id) is null ? ApiAnswers.NoRun(id, archive) : ObservationsCsv.Of(id, archive));
        routes.MapGet("/api/runs/{id}/thermometer.json", (string id, RunArchive archive) => archive.FindRun(id) is { } run ? Results.Text(ThermometerChainFile.Write(run.Plan.Thermometer), "application/json") : ApiAnswers.NoRun(id, archive));
        routes.MapPost("/api/runs/{id}/stop", (string id, LaneSet lanes, RunArchive archive, CancellationToken aborted) => StopAsync(id, lanes, archive, aborted));
        routes.MapPost("/api/runs/{id}/portions", (string id, HttpRequest request, LaneSet lanes, RunArchive archive) => ObservationApi.ChargeAsync(id, request, lanes, archive));
        routes.MapPost("/api/runs/{id}/observations", (string id, HttpRequest request, LaneSet lanes, RunArchive archive) => ObservationApi.ObserveAsync(id, request, lanes, archive));
        routes.MapPost("/api/runs/{id}/observations/withdraw", (string id, HttpRequest request, LaneSet lanes, RunArchive archive) => ObservationApi.WithdrawAsync(id, request, lanes, archive));
    }

    private static IResult List(IQueryCollection query, RunArchive archive)
    {
        var (filter, errors) = RunFilterQuery.Read(query);
        return filter is null ? ApiAnswers.Refused(StatusCodes.Status400BadRequest, errors)
            : filter.After is { } after && !archive.HasRun(after) ? ApiAnswers.Refused(StatusCodes.Status400BadRequest, "after", $"there is no run '{after}'")
            : ApiAnswers.Ok(archive.ListRuns(filter));
    }

    private static IResult Curve(string id, string? from, RunTimelines timelines, RunArchive archive)
    {
        if (!TryIndex("from", from, 0, 0, int.MaxValue, out var first, out var error))
        {
            return ApiAnswers.Refused(StatusCodes.Status400BadRequest, [error!]);
        }

        return timelines.Find(id) is { } timeline ? ApiAnswers.Ok(timeline.Points(first, int.MaxValue)) : ApiAnswers.NoRun(id, archive);
    }

    // The whole run at the width of a screen, from the archive; the other curve is the live one, point by point.
    private static IResult Decimated(string id, string? from, string width, RunArchive archive)
    {
        if (from is not null)
        {
            return ApiAnswers.Refused(StatusCodes.Status400BadRequest, "from", "cannot stand beside width: a curve at a width is of the whole run");
        }

        if (!TryIndex("width", width, 0, CurveReader.LeastWidth, CurveReader.MostWidth, out var stretches, out var error))
        {
            return ApiAnswers.Refused(StatusCodes.Status400BadRequest, [error!]);
        }

        return archive.ReadCurve(id, stretches) is { } curve ? ApiAnswers.Ok(curve) : ApiAnswers.NoRun(id, archive);
    }

    private static IResult Wire(string id, RunArchive archive, CaptureFolder captures, CancellationToken aborted)
    {
        if (archive.FindRun(id) is null)
        {
            return ApiAnswers.NoRun(id, archive);
        }

        // Shared with the writer: what belongs to an open run is given as far as it is written.
        return captures.Open(id) is not { } parts
            ? ApiAnswers.Refused(StatusCodes.Status404NotFound, "id", $"what the wire said was not kept for run {id}; a tester with the key capture keeps it")
            : Results.Stream(
                async target =>
                {
                    await using (parts.ConfigureAwait(false))
                    {
                        await parts.WriteAsync(target, aborted).ConfigureAwait(false);
                    }
                },
                "text/plain; charset=us-ascii",
                $"{id}.wire");
    }

    private static async Task<IResult> StopAsync(string id, LaneSet lanes, RunArchive archive, CancellationToken aborted)
    {
        if (archive.FindRun(id) is not { } run)
        {
            return ApiAnswers.NoRun(id, archive);
        }

        // A run that is closed already is what the caller wanted: two people may press the button.
        var answer = run.Summary.ClosedAt is null && lanes.Find(run.Summary.TesterId) is { } lane
            ? await lane.StopAsync(id, aborted).ConfigureAwait(false)
            : new(CommandOutcome.NotOpen, null, null);
        return answer.Outcome switch
        {
            CommandOutcome.Done => ApiAnswers.Ok(answer.Run),
            CommandOutcome.NotOpen => archive.FindRun(id) is { Summary: { ClosedAt: not null } closed }
                ? ApiAnswers.Ok(closed)
                : ApiAnswers.Refused(StatusCodes.Status409Conflict, "id", $"run {id} was interrupted and is not open"),
            _ => ApiAnswers.Refused(StatusCodes.Status503ServiceUnavailable, "id", answer.Text!),
        };
    }

    private static bool TryIndex(string name, string? text, int otherwise, int least, int most, out int value, out InputError? error)
    {
        value = otherwise;
        error = null;
        if (text is null || (int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out value) && value >= least && value <= most))
        {
            return true;
        }

        error = new(name, string.Create(CultureInfo.InvariantCulture, $"is not a whole number from {least} to {most}"));
        return false;
    }
}
