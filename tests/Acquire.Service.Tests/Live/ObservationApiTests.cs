using System.Net;
using System.Net.Http.Json;
using System.Text.Json;
using Acquire.Core.Runs;
using Acquire.Service.Live;
using Acquire.Service.Tests.Lanes;
using Xunit;

namespace Acquire.Service.Tests.Live;

public sealed class ObservationApiTests
{
    private static CancellationToken Cancelled => TestContext.Current.CancellationToken;

    [Theory(Timeout = 30000)]
    [InlineData("nothing", Sighting.Nothing)]
    [InlineData("halo", Sighting.Halo)]
    [InlineData("flash", Sighting.Flash)]
    [InlineData("burning", Sighting.Burning)]
    [InlineData("went-out", Sighting.WentOut)]
    public async Task Each_word_is_a_fact_of_the_run_once_it_is_answered(string word, Sighting seen)
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken, mode: RunMode.Guided);
        var run = await bench.StartRunAsync();
        await bench.SendAsync(TestTester.Heating(0, 10));

        using var answer = await bench.PostAsync($"/api/runs/{run.Id}/observations", $$"""{"seen":"{{word}}"}""");

        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        Assert.Equal(run.Id, (await answer.Content.ReadFromJsonAsync<RunSummary>(LiveJson.Options, Cancelled))!.Id);
        var made = Assert.Single((await bench.GetAsync<RunDetail>($"/api/runs/{run.Id}")).Events.OfType<ObservationMade>());
        Assert.Equal((seen, 0.9), (made.Seen, made.ReadingSeconds));
        Assert.True(made.AtSeconds >= 0.9);
    }

    [Theory(Timeout = 30000)]
    [InlineData("", "$")]
    [InlineData("{", "$")]
    [InlineData("null", "$")]
    [InlineData("[]", "$")]
    [InlineData("{}", "seen")]
    [InlineData("""{"seen":null}""", "seen")]
    [InlineData("""{"seen":2}""", "seen")]
    [InlineData("""{"seen":"2"}""", "seen")]
    [InlineData("""{"seen":"Flash"}""", "seen")]
    [InlineData("""{"seen":"flash","seen":"halo"}""", "seen")]
    [InlineData("""{"seen":"flash","by":"me"}""", "by")]
    [InlineData("""{"seen":"flash","person":""}""", "person")]
    [InlineData("""{"seen":"flash","person":"=1+1"}""", "person")]
    [InlineData("""{"seen":"flash","person":"a\nb"}""", "person")]
    [InlineData("""{"seen":"flash","person":7}""", "person")]
    public async Task A_body_that_does_not_say_what_was_seen_is_refused_at_its_path(string body, string path)
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken, mode: RunMode.Guided);
        var run = await bench.StartRunAsync();

        using var answer = await bench.PostAsync($"/api/runs/{run.Id}/observations", body);

        Assert.Equal(HttpStatusCode.BadRequest, answer.StatusCode);
        var errors = (await answer.Content.ReadFromJsonAsync<JsonElement>(Cancelled)).GetProperty("errors");
        Assert.Equal(path, errors[0].GetProperty("path").GetString());
    }

    [Fact(Timeout = 30000)]
    public async Task A_run_that_is_closed_or_not_guided_refuses_and_an_unknown_one_is_not_found()
    {
        const string Body = """{"seen":"flash"}""";
        await using var observed = await AppBench.StartAsync(TestContext.Current.CancellationToken);
        var other = await observed.StartRunAsync();
        await observed.SendAsync(TestTester.Heating(0, 10));
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken, mode: RunMode.Guided);
        var run = await bench.StartRunAsync();
        await bench.StopRunAsync(run.Id);

        using var notGuided = await observed.PostAsync($"/api/runs/{other.Id}/observations", Body);
        using var closed = await bench.PostAsync($"/api/runs/{run.Id}/observations", Body);
        using var unknown = await bench.PostAsync("/api/runs/none/observations", Body);
        using var elsewhere = await bench.PostAsync($"/api/runs/{run.Id}/observations", Body, origin: "http://elsewhere.example");

        Assert.Equal(
            (HttpStatusCode.Conflict, HttpStatusCode.Conflict, HttpStatusCode.NotFound, HttpStatusCode.Forbidden),
            (notGuided.StatusCode, closed.StatusCode, unknown.StatusCode, elsewhere.StatusCode));
    }

    [Fact(Timeout = 30000)]
    public async Task What_was_seen_and_taken_back_is_a_file_that_is_read_back_to_the_same_entries()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken, mode: RunMode.Guided);
        var run = await bench.StartRunAsync();
        await bench.SendAsync(TestTester.Heating(0, 10));
        using var seen = await bench.PostAsync($"/api/runs/{run.Id}/observations", """{"seen":"flash","person":"Berg, \"R\""}""");
        var made = Assert.Single((await bench.GetAsync<RunDetail>($"/api/runs/{run.Id}")).Events.OfType<ObservationMade>());

        using var other = await bench.PostAsync($"/api/runs/{run.Id}/observations/withdraw", """{"atSeconds":-1}""");
        using var back = await bench.PostAsync($"/api/runs/{run.Id}/observations/withdraw", JsonSerializer.Serialize(new { atSeconds = made.AtSeconds, person = "Ada" }));

        Assert.Equal((HttpStatusCode.OK, HttpStatusCode.Conflict, HttpStatusCode.OK), (seen.StatusCode, other.StatusCode, back.StatusCode));
        var entries = (await bench.GetAsync<RunDetail>($"/api/runs/{run.Id}")).Events.OfType<PersonEntry>().ToArray();
        Assert.Equal(("Berg, \"R\"", "Ada", made.AtSeconds), (entries[0].Person, entries[1].Person, Assert.IsType<ObservationWithdrawn>(entries[1]).ObservedSeconds));
        var csv = await bench.Client.GetStringAsync($"/api/runs/{run.Id}/observations.csv", Cancelled);
        Assert.StartsWith("time_s,after_reading_s,entry,person\r\n", csv, StringComparison.Ordinal);
        var read = PersonEntryReader.Read("file", csv.Split("\r\n"));
        Assert.Empty(read.Errors);
        Assert.Equal(entries, read.Entries);
    }

    [Theory(Timeout = 30000)]
    [InlineData("", "$")]
    [InlineData("[]", "$")]
    [InlineData("""{"atSeconds":"1"}""", "atSeconds")]
    [InlineData("""{"person":"-"}""", "person")]
    [InlineData("""{"seen":"flash"}""", "seen")]
    public async Task A_body_that_does_not_say_what_is_taken_back_is_refused_at_its_path(string body, string path)
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken, mode: RunMode.Guided);
        var run = await bench.StartRunAsync();

        using var answer = await bench.PostAsync($"/api/runs/{run.Id}/observations/withdraw", body);

        Assert.Equal(HttpStatusCode.BadRequest, answer.StatusCode);
        var errors = (await answer.Content.ReadFromJsonAsync<JsonElement>(Cancelled)).GetProperty("errors");
        Assert.Equal(path, errors[0].GetProperty("path").GetString());
    }
}
