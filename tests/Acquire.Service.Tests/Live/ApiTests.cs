using System.Net;
using System.Net.Http.Json;
using System.Text.Json;
using Acquire.Core.Methods;
using Acquire.Core.Readings;
using Acquire.Service.Live;
using Acquire.Service.Tests.Lanes;
using Xunit;

namespace Acquire.Service.Tests.Live;

public sealed class ApiTests
{
    private const string GoodBody = """{"methodId":"iso-2592-2017","expectedFlashCelsius":220,"stationPressureKilopascals":null,"specimen":"oil"}""";

    private static CancellationToken Cancelled => TestContext.Current.CancellationToken;

    [Theory(Timeout = 30000)]
    [InlineData("{", "$")]
    [InlineData("", "$")]
    [InlineData("null", "$")]
    [InlineData("[]", "$")]
    [InlineData("""{"methodId":7,"expectedFlashCelsius":220,"specimen":"oil"}""", "methodId")]
    [InlineData("""{"methodId":"iso-2592-2017","expectedFlashCelsius":"220","specimen":"oil"}""", "expectedFlashCelsius")]
    [InlineData("""{"methodId":"iso-2592-2017","expectedFlashCelsius":1e999,"specimen":"oil"}""", "expectedFlashCelsius")]
    [InlineData("""{"methodId":"iso-2592-2017","expectedFlashCelsius":20,"specimen":"oil"}""", "expectedFlashCelsius")]
    [InlineData("""{"methodId":"iso-2592-2017","expectedFlashCelsius":220,"stationPressureKilopascals":1013,"specimen":"oil"}""", "stationPressureKilopascals")]
    [InlineData("""{"methodId":"iso-2592-2017","expectedFlashCelsius":220,"specimen":"oil","colour":"red"}""", "colour")]
    [InlineData("""{"methodId":"iso-2592-2017","expectedFlashCelsius":220}""", "specimen")]
    public async Task A_start_that_cannot_be_read_or_may_not_be_is_refused_at_its_path(string body, string path)
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);

        using var answer = await bench.PostAsync("/api/testers/bench-1/runs", body);

        Assert.Equal(HttpStatusCode.BadRequest, answer.StatusCode);
        var error = Assert.Single(await ErrorsAsync(answer));
        Assert.Equal(path, error.GetProperty("path").GetString());
        Assert.NotEqual("", error.GetProperty("message").GetString());
        Assert.Empty(await bench.GetAsync<RunSummary[]>("/api/runs"));
    }

    [Fact(Timeout = 30000)]
    public async Task A_run_goes_its_whole_way_through_the_interface()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);

        var run = await bench.StartRunAsync();
        using var second = await bench.PostAsync("/api/testers/bench-1/runs", GoodBody);
        await bench.SendAsync(TestTester.Heating(0, 100));
        await bench.UntilRowsAsync(run.Id, 100);
        var open = (await bench.GetAsync<TesterOverview[]>("/api/testers"))[0];
        var closed = await bench.StopRunAsync(run.Id);
        var again = await bench.StopRunAsync(run.Id);

        Assert.Equal(HttpStatusCode.Conflict, second.StatusCode);
        Assert.Equal(("bench-1", "iso-2592-2017", 220.0, (DateTimeOffset?)null), (run.TesterId, run.MethodId, run.ExpectedFlashCelsius, run.ClosedAt));
        Assert.Equal(run.Id, open.Run!.Id);
        Assert.NotNull(open.Status!.TemperatureCelsius);
        Assert.Equal(100, closed.ArchivedRows);
        Assert.Equal(closed.ClosedAt, again.ClosedAt);
        Assert.Equal(run.Id, (await bench.GetAsync<RunDetail>($"/api/runs/{run.Id}")).Summary.Id);
        Assert.Single(await bench.GetAsync<RunSummary[]>("/api/runs?tester=bench-1&limit=5"));
        Assert.Empty(await bench.GetAsync<RunSummary[]>("/api/runs?tester=bench-2"));
        Assert.Equal(MethodCatalog.All.Count, (await bench.GetAsync<MethodDefinition[]>("/api/methods")).Length);
    }

    [Fact(Timeout = 30000)]
    public async Task Words_on_the_wire_are_camel_case_names_and_kebab_case_values()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);
        var run = await bench.StartRunAsync();
        await bench.SendAsync(TestTester.Heating(0, 10));
        await bench.UntilRowsAsync(run.Id, 10);
        await bench.StopRunAsync(run.Id);

        var detail = await bench.GetAsync<JsonElement>($"/api/runs/{run.Id}");

        var events = detail.GetProperty("events").EnumerateArray().ToArray();
        var first = events.First(one => one.GetProperty("kind").GetString() == "phase-changed");
        Assert.Equal(("ready", "fast-heating"), (first.GetProperty("from").GetString(), first.GetProperty("to").GetString()));
        Assert.Equal("run-closed", events[^1].GetProperty("kind").GetString());
        Assert.True(detail.GetProperty("plan").GetProperty("hasFlameSignal").GetBoolean());
        Assert.EndsWith("+00:00", detail.GetProperty("summary").GetProperty("startedAt").GetString(), StringComparison.Ordinal);
    }

    [Theory(Timeout = 30000)]
    [InlineData("/api/runs/nothing")]
    [InlineData("/api/runs/nothing/curve")]
    [InlineData("/api/runs/nothing/readings.csv")]
    public async Task What_is_not_there_is_not_found(string path)
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);

        using var answer = await bench.Client.GetAsync(path, Cancelled);

        Assert.Equal(HttpStatusCode.NotFound, answer.StatusCode);
        Assert.Single(await ErrorsAsync(answer));
    }

    [Fact(Timeout = 30000)]
    public async Task Commands_to_unknown_testers_and_runs_are_not_found()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);

        using var start = await bench.PostAsync("/api/testers/nobody/runs", GoodBody);
        using var stop = await bench.PostAsync("/api/runs/nothing/stop", "");

        Assert.Equal((HttpStatusCode.NotFound, HttpStatusCode.NotFound), (start.StatusCode, stop.StatusCode));
    }

    [Theory(Timeout = 30000)]
    [InlineData("/api/runs?limit=0", "limit")]
    [InlineData("/api/runs?limit=501", "limit")]
    [InlineData("/api/runs?limit=ten", "limit")]
    [InlineData("/api/runs?colour=red", "colour")]
    [InlineData("/api/runs?tester=a&tester=b", "tester")]
    [InlineData("/api/runs?verdict=good", "verdict")]
    [InlineData("/api/runs?verdict=1", "verdict")]
    [InlineData("/api/runs?state=lost", "state")]
    [InlineData("/api/runs?from=1.2.2026", "from")]
    [InlineData("/api/runs?to=2026-02-30", "to")]
    [InlineData("/api/runs?from=2026-03-02&to=2026-03-01", "to")]
    [InlineData("/api/runs?flashFrom=NaN", "flashFrom")]
    [InlineData("/api/runs?flashTo=1e9", "flashTo")]
    [InlineData("/api/runs?flashFrom=230&flashTo=220", "flashTo")]
    [InlineData("/api/runs?after=nothing", "after")]
    [InlineData("/api/runs/any/curve?from=-1", "from")]
    [InlineData("/api/runs/any/curve?from=99999999999", "from")]
    public async Task A_number_outside_its_range_is_refused_with_the_range(string path, string name)
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);

        using var answer = await bench.Client.GetAsync(path, Cancelled);

        Assert.Equal(HttpStatusCode.BadRequest, answer.StatusCode);
        Assert.Equal(name, Assert.Single(await ErrorsAsync(answer)).GetProperty("path").GetString());
    }

    [Fact(Timeout = 30000)]
    public async Task Runs_are_found_by_what_they_are_and_when_they_were()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);
        var run = await bench.StartRunAsync();
        await bench.SendAsync(TestTester.Heating(0, 10));
        await bench.StopRunAsync(run.Id);
        var day = run.StartedAt.UtcDateTime;
        string[] found =
        [
            $"specimen={Uri.EscapeDataString(run.Specimen.ToUpperInvariant())}", $"method={run.MethodId}", "state=closed", "verdict=invalid", "verdict=", "tester=bench-1&limit=1",
            $"from={day:yyyy-MM-dd}&to={day.AddDays(1):yyyy-MM-dd}", $"from={day.AddSeconds(-2):yyyy-MM-dd'T'HH:mm:ss}Z",
        ];
        string[] notFound = ["specimen=nothing", "method=astm-d93-20-a", "state=open", "state=interrupted", "verdict=valid", "tester=bench-2", $"to={day:yyyy-MM-dd}", $"after={run.Id}", "flashFrom=100", "fireTo=500"];

        foreach (var query in found)
        {
            Assert.True((await bench.GetAsync<RunSummary[]>("/api/runs?" + query)).Length == 1, query);
        }

        foreach (var query in notFound)
        {
            Assert.True((await bench.GetAsync<RunSummary[]>("/api/runs?" + query)).Length == 0, query);
        }
    }

    [Fact(Timeout = 30000)]
    public async Task The_readings_come_out_exactly_and_what_was_absent_is_empty()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);
        var run = await bench.StartRunAsync();
        await bench.SendAsync([
            TestTester.Row(0, 60.123456789012345, 0.1 + 0.2, flame: true),
            new ReadingRow(0.1, RowChannels.Temperature, -3.2, 9, true),
            new ReadingRow(0.2, RowChannels.Detector, 9, 1e-7, true),
            new ReadingRow(0.3, RowChannels.Flame, 9, 9, false),
        ]);
        await bench.UntilRowsAsync(run.Id, 4);

        using var answer = await bench.Client.GetAsync($"/api/runs/{run.Id}/readings.csv", Cancelled);

        Assert.Equal("text/csv", answer.Content.Headers.ContentType!.MediaType);
        Assert.Equal(
            "time_s,temperature_c,detector,flame,thermometer_marks\r\n0,60.123456789012344,0.30000000000000004,1,\r\n0.1,-3.2,,,impossible-jump\r\n0.2,,1E-07,,\r\n0.3,,,0,\r\n",
            await answer.Content.ReadAsStringAsync(Cancelled));
    }

    [Fact(Timeout = 30000)]
    public async Task A_long_record_comes_out_whole()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);
        var run = await bench.StartRunAsync();
        await bench.SendAsync(TestTester.Heating(0, 20_000));
        await bench.UntilRowsAsync(run.Id, 20_000);

        var lines = (await bench.Client.GetStringAsync($"/api/runs/{run.Id}/readings.csv", Cancelled)).Split('\n');

        Assert.Equal(20_002, lines.Length);
        Assert.StartsWith("1999.9,", lines[^2], StringComparison.Ordinal);
    }

    [Fact(Timeout = 30000)]
    public async Task Health_is_ok_only_with_every_tester_connected()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);

        var before = await bench.GetAsync<JsonElement>("/healthz");
        bench.Inbox.SetConnection(ConnectionState.Up, null);
        var after = await bench.GetAsync<JsonElement>("/healthz");

        Assert.Equal("degraded", before.GetProperty("status").GetString());
        Assert.Equal(["up", "connecting"], after.GetProperty("testers").EnumerateArray().Select(tester => tester.GetProperty("connection").GetString()));
        Assert.NotEqual("", after.GetProperty("archive").GetString());
    }

    private static async Task<JsonElement[]> ErrorsAsync(HttpResponseMessage answer) =>
        [.. (await answer.Content.ReadFromJsonAsync<JsonElement>(Cancelled)).GetProperty("errors").EnumerateArray()];
}
