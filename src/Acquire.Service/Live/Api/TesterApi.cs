using Acquire.Core.Methods;
using Acquire.Service.Archive;
using Acquire.Service.Archive.Influx;
using Acquire.Service.Lanes;
using Acquire.Service.Lanes.Starting;
using Acquire.Service.Lanes.Watching;
using Acquire.Service.Surroundings;

namespace Acquire.Service.Live.Api;

/// <summary>The calls about testers and methods; see docs/api.md.</summary>
internal static class TesterApi
{
    public static void Map(IEndpointRouteBuilder routes)
    {
        routes.MapGet("/healthz", (LaneSet lanes, AmbientStations stations, RunArchive archive, OutboxHost outbox) => Health(lanes, stations, archive, outbox.Overview));
        routes.MapGet("/api/methods", (MethodSet methods) => ApiAnswers.Ok(methods.All));
        routes.MapGet("/api/testers", (LaneSet lanes) => ApiAnswers.Ok(lanes.Overview()));
        routes.MapGet("/api/ambient", (AmbientStations stations) => ApiAnswers.Ok(stations.All.Select(station => station.Overview())));
        routes.MapPost("/api/testers/{id}/runs", (string id, HttpRequest request, LaneSet lanes, MethodSet methods) => StartAsync(id, request, lanes, methods));
    }

    private static IResult Health(LaneSet lanes, AmbientStations stations, RunArchive archive, InfluxOverview? influx)
    {
        var record = archive.Health;
        var testers = lanes.Overview();
        var trouble = record.Ok ? lanes.ArchiveTrouble : record.Text;
        var room = stations.All.Select(station => new TesterHealth(station.Config.Id, station.Inbox.Connection.State)).ToArray();
        var fine = trouble is null && influx is not { Alarms.Count: > 0 } && room.All(station => station.Connection == ConnectionState.Up) && testers.All(tester => tester.Connection == ConnectionState.Up && tester.Alarms.All(alarm => alarm.Code != ServiceAlarmCodes.LaneFailed));
        var body = new HealthBody(fine ? "ok" : "degraded", trouble ?? record.Text, [.. testers.Select(tester => new TesterHealth(tester.Id, tester.Connection))], room, influx is null ? null : new(influx.State, influx.LagRows, influx.LagSeconds, influx.SetAside));
        return ApiAnswers.Ok(body, trouble is null ? StatusCodes.Status200OK : StatusCodes.Status503ServiceUnavailable);
    }

    private static async Task<IResult> StartAsync(string id, HttpRequest request, LaneSet lanes, MethodSet methods)
    {
        if (lanes.Find(id) is not { } lane)
        {
            return ApiAnswers.NoTester(id, lanes.All.Select(known => known.TesterId));
        }

        var (asked, unread) = await StartRunBody.ReadAsync(request).ConfigureAwait(false);
        if (asked is null)
        {
            return ApiAnswers.Refused(StatusCodes.Status400BadRequest, unread);
        }

        if (!RunOrderRules.TryMake(asked, lane.Facts, methods, out var order, out var errors))
        {
            return ApiAnswers.Refused(StatusCodes.Status400BadRequest, errors);
        }

        var answer = await lane.StartAsync(order, request.HttpContext.RequestAborted).ConfigureAwait(false);
        return answer.Outcome switch
        {
            CommandOutcome.Done => ApiAnswers.Ok(answer.Run, StatusCodes.Status201Created),
            CommandOutcome.RunIsOpen => ApiAnswers.Refused(StatusCodes.Status409Conflict, "id", answer.Text!),
            _ => ApiAnswers.Refused(StatusCodes.Status503ServiceUnavailable, "id", answer.Text!),
        };
    }

    private sealed record HealthBody(string Status, string Archive, IReadOnlyList<TesterHealth> Testers, IReadOnlyList<TesterHealth> Ambient, InfluxHealth? Influx);

    private sealed record InfluxHealth(InfluxState State, long LagRows, double LagSeconds, long SetAside);

    private sealed record TesterHealth(string Id, ConnectionState Connection);
}
