using System.Net;
using System.Net.Http.Json;
using System.Text.Json;
using Acquire.Service.Archive.Corrections;
using Acquire.Service.Live;
using Acquire.Service.Tests.Archive;
using Acquire.Service.Tests.Lanes;
using Acquire.Service.Tests.Sources;
using Xunit;

namespace Acquire.Service.Tests.Live;

/// <summary>Somebody else's damage to one run: what the calls say of it, and that the others are served.</summary>
public sealed class DamagedRunApiTests
{
    private static readonly RunRoles Roles = new(["Ada"], ["Bea"]) { MayHold = ["Ada"] };

    private static CancellationToken Cancelled => TestContext.Current.CancellationToken;

    [Fact(Timeout = 60000)]
    public async Task The_list_has_it_among_the_others_and_goes_on_behind_it()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);
        var (first, second) = (await ClosedAsync(bench, 0), await ClosedAsync(bench, 100));
        Damage(bench, $"UPDATE runs SET result = '[1]' WHERE id = '{second}'");

        var runs = await bench.GetAsync<RunSummary[]>("/api/runs");

        Assert.Equal([second, first], runs.Select(run => run.Id));
        Assert.StartsWith("its result: ", runs[0].Damage, StringComparison.Ordinal);
        Assert.Null(runs[0].Result);
        Assert.True(runs[1] is { Damage: null, Result: not null });
        Assert.Equal(first, Assert.Single(await bench.GetAsync<RunSummary[]>($"/api/runs?after={second}")).Id);
        Damage(bench, $"UPDATE runs SET started_at_utc = 'yesterday' WHERE id = '{second}'");
        Assert.Equal(first, Assert.Single(await bench.GetAsync<RunSummary[]>($"/api/runs?after={second}")).Id);
    }

    [Fact(Timeout = 60000)]
    public async Task Every_call_about_it_is_answered_with_the_words_and_no_other_run_is_touched()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken, roles: Roles);
        var (run, other) = (await ClosedAsync(bench, 0), await ClosedAsync(bench, 100));
        Damage(bench, $"UPDATE runs SET result = '[1]' WHERE id = '{run}'");

        foreach (var part in (string[])["", "/corrections", "/wire", "/curve?from=0", "/readings.csv", "/observations.csv", "/thermometer.json", "/export.json", "/export.parquet", "/export.bundle"])
        {
            await ToldAsync(await bench.Client.GetAsync($"/api/runs/{run}{part}", Cancelled), part, "damaged at its result");
        }

        await ToldAsync(await bench.PostAsync($"/api/runs/{run}/stop", ""), "stop", "damaged at its result");
        await ToldAsync(await bench.PostAsync($"/api/runs/{run}/corrections", """{"field":"remark","value":"Foamed.","reason":"x","person":"Ada"}"""), "corrections", "damaged at its result");
        await ToldAsync(await bench.PostAsync($"/api/runs/{run}/approvals", """{"person":"Bea"}"""), "approvals", "damaged at its result");
        await ToldAsync(await bench.PostAsync($"/api/runs/{run}/holds", """{"held":true,"reason":"x","person":"Ada"}"""), "holds", "damaged at its result");
        await ToldAsync(await bench.PostAsync($"/api/runs/{run}/observations", """{"seen":"flash"}"""), "observations", "damaged at its result");
        Assert.Equal(other, (await bench.GetAsync<RunDetail>($"/api/runs/{other}")).Summary.Id);
    }

    [Fact(Timeout = 60000)]
    public async Task Readings_that_are_damaged_at_their_beginning_are_told_before_the_first_byte()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);
        var run = await ClosedAsync(bench, 0);
        Damage(bench, "UPDATE chunks SET body = zeroblob(100)");

        foreach (var part in (string[])["/readings.csv", "/curve?width=10", "/export.json", "/export.parquet", "/export.bundle"])
        {
            var answer = await bench.Client.GetAsync($"/api/runs/{run}{part}", Cancelled);
            Assert.Null(answer.Content.Headers.ContentDisposition);
            Assert.Equal("nosniff", Assert.Single(answer.Headers.GetValues("X-Content-Type-Options")));
            await ToldAsync(answer, part, "damaged at chunk 0");
        }
    }

    private static async Task ToldAsync(HttpResponseMessage answer, string what, string words)
    {
        using (answer)
        {
            Assert.True(answer.StatusCode == HttpStatusCode.ServiceUnavailable, $"{what}: {answer.StatusCode}");
            Assert.Equal("application/json", answer.Content.Headers.ContentType!.MediaType);
            var error = Assert.Single((await answer.Content.ReadFromJsonAsync<JsonElement>(Cancelled)).GetProperty("errors").EnumerateArray());
            Assert.Equal("id", error.GetProperty("path").GetString());
            Assert.Contains(words, error.GetProperty("message").GetString(), StringComparison.Ordinal);
        }
    }

    private static void Damage(AppBench bench, string sql)
    {
        using var stranger = TamperBench.Stranger(bench.Archive.FilePath);
        ArchiveBench.Ask(stranger, sql);
    }

    private static async Task<string> ClosedAsync(AppBench bench, double fromSeconds)
    {
        var run = await bench.StartRunAsync();
        await bench.SendAsync(TestTester.Heating(fromSeconds, 10));
        await SourceSamples.Until(() => bench.Inbox.Counters.QueueDepth == 0, "all rows taken", Cancelled);
        await bench.StopRunAsync(run.Id);
        return run.Id;
    }
}
