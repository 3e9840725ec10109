using System.Net;
using System.Net.Http.Json;
using System.Text.Json;
using Acquire.Core.Runs;
using Acquire.Service.Live;
using Acquire.Service.Tests.Archive;
using Acquire.Service.Tests.Lanes.Driving;
using Xunit;

namespace Acquire.Service.Tests.Live;

public sealed class HeaterApiTests
{
    private const string On = """{"on":true,"person":"R. Halden"}""";
    private const string Off = """{"on":false}""";

    private static CancellationToken Cancelled => TestContext.Current.CancellationToken;

    // In real time, ten rows a second, until the tester has acknowledged.
    private static async Task<RunSummary> AnsweringAsync(AppBench bench, CancellationTokenSource sending)
    {
        var tester = new WireTester(bench.Lane.Outlet!, sending.Token);
        var run = await bench.StartRunAsync();
        _ = Task.Run(
            async () =>
            {
                for (var at = 0; !sending.IsCancellationRequested; at++)
                {
                    await bench.SendAsync([tester.Row(at / 10.0)]);
                    await Task.Delay(TimeSpan.FromMilliseconds(100), TimeProvider.System, sending.Token);
                }
            },
            sending.Token);
        while ((await bench.GetAsync<TesterOverview[]>("/api/testers"))[0].Drive!.SecondsSinceAcknowledged is null)
        {
            await Task.Delay(TimeSpan.FromMilliseconds(20), TimeProvider.System, Cancelled);
        }

        return run;
    }

    [Fact(Timeout = 30000)]
    public async Task The_heater_is_turned_on_in_a_name_and_off_by_anybody_and_the_run_says_so()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken, mode: RunMode.Driven);
        using var sending = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        var run = await AnsweringAsync(bench, sending);

        using var on = await bench.PostAsync($"/api/runs/{run.Id}/heater", On);
        var heating = (await bench.GetAsync<TesterOverview[]>("/api/testers"))[0].Drive!;
        using var off = await bench.PostAsync($"/api/runs/{run.Id}/heater", Off);
        var cut = (await bench.GetAsync<TesterOverview[]>("/api/testers"))[0].Drive!;
        await sending.CancelAsync();

        Assert.Equal((HttpStatusCode.OK, HttpStatusCode.OK), (on.StatusCode, off.StatusCode));
        Assert.Equal(run.Id, (await on.Content.ReadFromJsonAsync<RunSummary>(LiveJson.Options, Cancelled))!.Id);
        Assert.Equal((true, "R. Halden"), (heating.On, heating.OnBy));
        Assert.Equal((false, "heater-operator-stop"), (cut.On, cut.Trips.Single().Code));
        var facts = (await bench.GetAsync<RunDetail>($"/api/runs/{run.Id}")).Events.OfType<HeaterFact>().ToArray();
        Assert.Equal("R. Halden", Assert.IsType<HeaterTurnedOn>(facts[0]).Person);
        Assert.Equal(("heater-operator-stop", true), (Assert.IsType<HeaterCut>(facts[1]).Code, ((HeaterCut)facts[1]).WasOn));
    }

    [Fact(Timeout = 30000)]
    public async Task The_heater_is_turned_off_also_where_the_record_of_the_run_is_damaged()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken, mode: RunMode.Driven);
        using var sending = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        var run = await AnsweringAsync(bench, sending);
        using var on = await bench.PostAsync($"/api/runs/{run.Id}/heater", On);
        using (var stranger = TamperBench.Stranger(bench.Archive.FilePath))
        {
            ArchiveBench.Ask(stranger, "UPDATE runs SET plan = '{}', started_at_utc = 'yesterday'");
        }

        using var off = await bench.PostAsync($"/api/runs/{run.Id}/heater", Off);
        var cut = (await bench.GetAsync<TesterOverview[]>("/api/testers"))[0].Drive!;
        await sending.CancelAsync();

        Assert.Equal((HttpStatusCode.OK, HttpStatusCode.OK, false), (on.StatusCode, off.StatusCode, cut.On));
    }

    [Theory(Timeout = 30000)]
    [InlineData("", "$")]
    [InlineData("{", "$")]
    [InlineData("null", "$")]
    [InlineData("[]", "$")]
    [InlineData("{}", "on")]
    [InlineData("""{"on":null}""", "on")]
    [InlineData("""{"on":1}""", "on")]
    [InlineData("""{"on":"true"}""", "on")]
    [InlineData("""{"on":true}""", "person")]
    [InlineData("""{"on":true,"person":null}""", "person")]
    [InlineData("""{"on":true,"person":7}""", "person")]
    [InlineData("""{"on":true,"person":"   "}""", "person")]
    [InlineData("""{"on":true,"person":"two\nlines"}""", "person")]
    [InlineData("""{"on":true,"person":"turned \u202e around"}""", "person")]
    [InlineData("""{"on":true,"on":true,"person":"R. Halden"}""", "on")]
    [InlineData("""{"more":{"on":false}}""", "more")]
    [InlineData("""{"on":"false"}""", "on")]
    [InlineData("""["on",false]""", "$")]
    [InlineData("""{"on":fals""", "on")]
    [InlineData("""{"on":true,"person":"R. Halden","power":1}""", "power")]
    public async Task A_body_that_does_not_say_it_is_refused_at_its_path(string body, string path)
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken, mode: RunMode.Driven);
        var run = await bench.StartRunAsync();

        using var answer = await bench.PostAsync($"/api/runs/{run.Id}/heater", body);

        Assert.Equal(HttpStatusCode.BadRequest, answer.StatusCode);
        var errors = (await answer.Content.ReadFromJsonAsync<JsonElement>(Cancelled)).GetProperty("errors");
        Assert.Equal(path, errors[0].GetProperty("path").GetString());
    }

    [Theory(Timeout = 30000)]
    [InlineData("""{"on":false,"person":"T. Moen"}""")]
    [InlineData("""{"on":false,"person":""}""")]
    [InlineData("""{"on":false,"person":7,"why":[1,{"on":true}]}""")]
    [InlineData("""{"on":false,"on":true,"person":"T. Moen"}""")]
    [InlineData("""{"on":true,"person":"T. Moen","on":false}""")]
    [InlineData("""{"On":false,}""")]
    [InlineData("""{"on":false,"more":{""")]
    [InlineData("""{"on":false} and more""")]
    public async Task Off_is_taken_wherever_it_can_be_read(string body)
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken, mode: RunMode.Driven);
        using var sending = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        var run = await AnsweringAsync(bench, sending);
        using var on = await bench.PostAsync($"/api/runs/{run.Id}/heater", On);
        Assert.Equal(HttpStatusCode.OK, on.StatusCode);

        using var off = await bench.PostAsync($"/api/runs/{run.Id}/heater", body);

        Assert.Equal(HttpStatusCode.OK, off.StatusCode);
        Assert.False((await bench.GetAsync<TesterOverview[]>("/api/testers"))[0].Drive!.On);
        await sending.CancelAsync();
    }

    [Fact(Timeout = 30000)]
    public async Task A_name_that_is_too_long_is_refused()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken, mode: RunMode.Driven);
        var run = await bench.StartRunAsync();

        using var answer = await bench.PostAsync($"/api/runs/{run.Id}/heater", $$"""{"on":true,"person":"{{new string('x', 81)}}"}""");

        Assert.Equal(HttpStatusCode.BadRequest, answer.StatusCode);
    }

    [Fact(Timeout = 30000)]
    public async Task What_cannot_be_turned_on_says_why_and_off_is_taken_of_a_closed_run_too()
    {
        await using var observed = await AppBench.StartAsync(TestContext.Current.CancellationToken);
        var other = await observed.StartRunAsync();
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken, mode: RunMode.Driven);
        var run = await bench.StartRunAsync();
        using var silent = await bench.PostAsync($"/api/runs/{run.Id}/heater", On);
        await bench.StopRunAsync(run.Id);

        using var notDriven = await observed.PostAsync($"/api/runs/{other.Id}/heater", On);
        using var closed = await bench.PostAsync($"/api/runs/{run.Id}/heater", On);
        using var closedOff = await bench.PostAsync($"/api/runs/{run.Id}/heater", Off);
        using var unknown = await bench.PostAsync("/api/runs/none/heater", Off);
        using var elsewhere = await bench.PostAsync($"/api/runs/{run.Id}/heater", Off, origin: "http://elsewhere.example");
        using var text = await bench.PostAsync($"/api/runs/{run.Id}/heater", Off, contentType: "text/plain");

        Assert.Equal(
            (HttpStatusCode.Conflict, HttpStatusCode.Conflict, HttpStatusCode.Conflict, HttpStatusCode.OK, HttpStatusCode.NotFound, HttpStatusCode.Forbidden, HttpStatusCode.UnsupportedMediaType),
            (silent.StatusCode, notDriven.StatusCode, closed.StatusCode, closedOff.StatusCode, unknown.StatusCode, elsewhere.StatusCode, text.StatusCode));
        Assert.Contains("acknowledged", await silent.Content.ReadAsStringAsync(Cancelled), StringComparison.Ordinal);
        Assert.Contains("not driven", await notDriven.Content.ReadAsStringAsync(Cancelled), StringComparison.Ordinal);
        Assert.Null((await observed.GetAsync<TesterOverview[]>("/api/testers"))[0].Drive);
        Assert.Equal(run.Id, (await closedOff.Content.ReadFromJsonAsync<RunSummary>(LiveJson.Options, Cancelled))!.Id);
    }
}
