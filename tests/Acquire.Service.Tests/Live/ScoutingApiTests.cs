using System.Net;
using System.Net.Http.Json;
using System.Text.Json;
using Acquire.Core.Methods;
using Acquire.Core.Results;
using Acquire.Service.Live;
using Acquire.Service.Tests.Sources;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Service.Tests.Live;

public sealed class ScoutingApiTests
{
    private const string Order = """{"methodId":"iso-2592-2017","scouting":true,"stationPressureKilopascals":101.3,"specimen":"Found oil"}""";

    private static CancellationToken Cancelled => TestContext.Current.CancellationToken;

    [Fact(Timeout = 30000)]
    public async Task A_scouting_run_expects_nothing_reports_nothing_and_says_how_the_next_one_begins()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);
        using var started = await bench.PostAsync("/api/testers/bench-1/runs", Order);
        Assert.Equal(HttpStatusCode.Created, started.StatusCode);
        var run = (await started.Content.ReadFromJsonAsync<RunSummary>(LiveJson.Options, Cancelled))!;
        Assert.Equal((true, (double?)null), (run.Scouting, run.ExpectedFlashCelsius));
        var method = MethodCatalog.All.Single(method => method.Id == "iso-2592-2017");

        await bench.SendAsync(new SimulatedRun(new() { Method = method, FlashCelsius = 90, Scouting = true, RowsPerSecond = 10, CoolingSeconds = 5, Seed = 3 }));

        // A stop is heard before what waits in the queue.
        await SourceSamples.Until(() => bench.Inbox.Counters.QueueDepth == 0, "all rows taken", Cancelled);
        await bench.StopRunAsync(run.Id);

        var detail = await bench.GetAsync<RunDetail>($"/api/runs/{run.Id}");
        Assert.Equal(Verdict.Valid, detail.Summary.Result!.Verdict);
        Assert.InRange(detail.Summary.Result.Next!.ExpectedFlashCelsius, 88, 93);
        Assert.Null(detail.Statement!.Fire);
        Assert.Contains("Next: a fresh test portion", detail.Statement.Flash.CannotReport, StringComparison.Ordinal);
        var listed = Assert.Single(await bench.GetAsync<RunSummary[]>("/api/runs"));
        Assert.Equal((true, (double?)null), (listed.Scouting, listed.ExpectedFlashCelsius));
    }

    [Theory(Timeout = 30000)]
    [InlineData("""{"methodId":"iso-2592-2017","scouting":true,"expectedFlashCelsius":220,"specimen":"x"}""", "scouting")]
    [InlineData("""{"methodId":"iso-2592-2017","scouting":false,"specimen":"x"}""", "expectedFlashCelsius")]
    [InlineData("""{"methodId":"iso-2592-2017","scouting":"yes","specimen":"x"}""", "scouting")]
    [InlineData("""{"methodId":"astm-d56-22","scouting":true,"specimen":"x"}""", "scouting")]
    public async Task A_contradictory_order_is_refused_at_its_field(string body, string path)
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);

        using var answer = await bench.PostAsync("/api/testers/bench-1/runs", body);

        Assert.Equal(HttpStatusCode.BadRequest, answer.StatusCode);
        var errors = (await answer.Content.ReadFromJsonAsync<JsonElement>(Cancelled)).GetProperty("errors");
        Assert.Equal(path, errors[0].GetProperty("path").GetString());
    }
}
