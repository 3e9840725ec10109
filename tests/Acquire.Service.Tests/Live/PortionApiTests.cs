using System.Net;
using System.Net.Http.Json;
using System.Text.Json;
using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Service.Live;
using Xunit;

namespace Acquire.Service.Tests.Live;

public sealed class PortionApiTests
{
    private const string SearchOrder = """{"methodId":"iso-3679-2022-b","expectedFlashCelsius":60,"stationPressureKilopascals":101.3,"specimen":"Thinner 4"}""";
    private const string AskOrder = """{"methodId":"iso-3679-2022-a","specificationCelsius":60,"stationPressureKilopascals":101.3,"specimen":"Thinner 4"}""";

    private static CancellationToken Cancelled => TestContext.Current.CancellationToken;

    // The block at a temperature, four readings a second.
    private static IEnumerable<ReadingRow> Held(double from, double seconds, double celsius) =>
        Enumerable.Range(0, (int)(seconds * 4)).Select(index => new ReadingRow(from + (index / 4.0), RowChannels.Temperature, celsius, 0, false));

    private static async Task<RunSummary> StartAsync(AppBench bench, string order)
    {
        using var started = await bench.PostAsync("/api/testers/bench-1/runs", order);
        Assert.Equal(HttpStatusCode.Created, started.StatusCode);
        return (await started.Content.ReadFromJsonAsync<RunSummary>(LiveJson.Options, Cancelled))!;
    }

    private static async Task PostAsync(AppBench bench, string path, string body)
    {
        using var answer = await bench.PostAsync(path, body);
        Assert.True(answer.StatusCode == HttpStatusCode.OK, await answer.Content.ReadAsStringAsync(Cancelled));
    }

    [Fact(Timeout = 30000)]
    public async Task A_specification_is_answered_with_one_portion_that_a_person_charged()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken, mode: RunMode.Guided);
        var run = await StartAsync(bench, AskOrder);
        Assert.Equal((60.0, (double?)null), (run.SpecificationCelsius, run.ExpectedFlashCelsius));
        await bench.SendAsync(Held(0, 65, 60));
        await PostAsync(bench, $"/api/runs/{run.Id}/portions", """{"millilitres":2,"person":"Ada"}""");
        await bench.SendAsync(Held(65, 61, 60));

        await PostAsync(bench, $"/api/runs/{run.Id}/observations", """{"seen":"flash"}""");
        await bench.StopRunAsync(run.Id);

        var detail = await bench.GetAsync<RunDetail>($"/api/runs/{run.Id}");
        Assert.Equal((Verdict.Valid, true), (detail.Summary.Result!.Verdict, detail.Summary.Result.Equilibrium!.Flashed));
        Assert.StartsWith("Flash at the specification temperature of 60 °C", detail.Statement!.Flash.Statement, StringComparison.Ordinal);
        Assert.Null(detail.Statement.Fire);
        var charged = Assert.Single(detail.Events.OfType<PortionCharged>());
        Assert.Equal((2.0, "Ada", 64.75), (charged.Millilitres, charged.Person, charged.ReadingSeconds));
        Assert.Equal(PortionOutcome.Flash, Assert.Single(detail.Events.OfType<PortionTested>()).Test.Outcome);
        var listed = Assert.Single(await bench.GetAsync<RunSummary[]>("/api/runs"));
        Assert.Equal((60.0, (double?)null), (listed.SpecificationCelsius, listed.ExpectedFlashCelsius));
        var entries = (await bench.Client.GetStringAsync($"/api/runs/{run.Id}/observations.csv", Cancelled)).Split("\r\n", StringSplitOptions.RemoveEmptyEntries);
        Assert.Equal((PersonEntryWords.HeaderWithPortions, 3), (entries[0], entries.Length));
        Assert.EndsWith(",charged,Ada,2", entries[1], StringComparison.Ordinal);
    }

    [Fact(Timeout = 30000)]
    public async Task What_was_archived_is_judged_again_to_the_same_facts()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken, mode: RunMode.Guided);
        var run = await StartAsync(bench, SearchOrder);
        await bench.SendAsync(Held(0, 65, 60));
        await PostAsync(bench, $"/api/runs/{run.Id}/portions", "{}");
        await bench.SendAsync(Held(65, 61, 60));
        await PostAsync(bench, $"/api/runs/{run.Id}/observations", """{"seen":"nothing"}""");
        await bench.SendAsync(Held(126, 3, 61));
        await bench.StopRunAsync(run.Id);
        var detail = await bench.GetAsync<RunDetail>($"/api/runs/{run.Id}");

        var facts = new List<RunOutput>();
        var rows = Held(0, 129, 60).Select(row => row.AtSeconds >= 126 ? row with { TemperatureCelsius = 61 } : row);
        RunReplay.RunWhole(detail.Plan, rows, detail.Events, facts);

        Assert.Equal(detail.Events.Select(Text), facts.Select(Text));
        static string Text(RunOutput fact) => JsonSerializer.Serialize(fact, LiveJson.Options);
    }

    [Fact(Timeout = 30000)]
    public async Task The_status_says_what_is_set_and_how_long_to_wait()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken, mode: RunMode.Guided);
        var run = await StartAsync(bench, SearchOrder);
        await bench.SendAsync(Held(0, 65, 60));
        await PostAsync(bench, $"/api/runs/{run.Id}/portions", "{}");
        await bench.SendAsync(Held(65, 20, 60));
        await PostAsync(bench, $"/api/runs/{run.Id}/portions", "{}");

        var status = (await bench.GetAsync<TesterOverview[]>("/api/testers"))[0].Status!;

        Assert.Equal((RunPhase.PortionWaiting, 60.0, 2), (status.Phase, status.Portions!.SetCelsius, status.Portions.PortionNumber));
        Assert.InRange(status.Portions.SecondsToApplication!.Value, 55, 60 + 1e-9);
    }

    [Theory(Timeout = 30000)]
    [InlineData("[]", "$")]
    [InlineData("""{"millilitres":"2"}""", "millilitres")]
    [InlineData("""{"millilitres":0}""", "millilitres")]
    [InlineData("""{"millilitres":2,"material":"x"}""", "material")]
    [InlineData("""{"person":""}""", "person")]
    public async Task A_portion_that_cannot_be_is_refused_at_its_path(string body, string path)
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken, mode: RunMode.Guided);
        var run = await StartAsync(bench, SearchOrder);

        using var answer = await bench.PostAsync($"/api/runs/{run.Id}/portions", body);

        Assert.Equal(HttpStatusCode.BadRequest, answer.StatusCode);
        Assert.Equal(path, (await answer.Content.ReadFromJsonAsync<JsonElement>(Cancelled)).GetProperty("errors")[0].GetProperty("path").GetString());
    }

    [Fact(Timeout = 30000)]
    public async Task A_run_along_a_ramp_one_without_a_temperature_and_an_unknown_one_take_no_portion()
    {
        await using var ramp = await AppBench.StartAsync(TestContext.Current.CancellationToken);
        var heated = await ramp.StartRunAsync();
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken, mode: RunMode.Guided);
        var cold = await StartAsync(bench, SearchOrder);

        using var alongRamp = await ramp.PostAsync($"/api/runs/{heated.Id}/portions", "{}");
        using var unread = await bench.PostAsync($"/api/runs/{cold.Id}/portions", "{}");
        using var unknown = await bench.PostAsync("/api/runs/none/portions", "{}");

        Assert.Equal((HttpStatusCode.Conflict, HttpStatusCode.Conflict, HttpStatusCode.NotFound), (alongRamp.StatusCode, unread.StatusCode, unknown.StatusCode));
    }

    [Theory(Timeout = 30000)]
    [InlineData("""{"methodId":"iso-3679-2022-a","expectedFlashCelsius":60,"specimen":"x"}""", "expectedFlashCelsius")]
    [InlineData("""{"methodId":"iso-3679-2022-b","specificationCelsius":60,"specimen":"x"}""", "expectedFlashCelsius")]
    [InlineData("""{"methodId":"iso-2592-2017","expectedFlashCelsius":220,"specificationCelsius":60,"specimen":"x"}""", "specificationCelsius")]
    [InlineData("""{"methodId":"iso-2592-2017","expectedFlashCelsius":220,"fineStep":true,"specimen":"x"}""", "fineStep")]
    [InlineData("""{"methodId":"iso-3679-2022-b","expectedFlashCelsius":60,"fineStep":1,"specimen":"x"}""", "fineStep")]
    public async Task An_order_that_the_method_cannot_have_is_refused_at_its_field(string body, string path)
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken, mode: RunMode.Guided);

        using var answer = await bench.PostAsync("/api/testers/bench-1/runs", body);

        Assert.Equal(HttpStatusCode.BadRequest, answer.StatusCode);
        Assert.Equal(path, (await answer.Content.ReadFromJsonAsync<JsonElement>(Cancelled)).GetProperty("errors")[0].GetProperty("path").GetString());
    }
}
