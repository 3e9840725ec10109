using System.Net;
using System.Net.Http.Json;
using System.Text.Json;
using Acquire.Core.Methods;
using Acquire.Service.Archive.Corrections;
using Acquire.Service.Live;
using Acquire.Service.Tests.Lanes;
using Acquire.Service.Tests.Sources;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Service.Tests.Live;

public sealed class CorrectionApiTests
{
    private static readonly RunRoles Roles = new(["Ada", "Bea"], ["Bea", "Cy"]) { MayHold = ["Ada"] };

    private static CancellationToken Cancelled => TestContext.Current.CancellationToken;

    [Fact(Timeout = 60000)]
    public async Task A_corrected_pressure_makes_a_new_result_and_the_old_one_stays_readable()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken, roles: Roles);
        var run = await DeterminedAsync(bench);
        var before = await bench.GetAsync<RunDetail>($"/api/runs/{run}");

        var audit = await DoneAsync(bench, run, """{"field":"station-pressure","value":97.3,"reason":"The barometer was read in the wrong line of the log.","person":"Ada"}""");

        var correction = Assert.Single(audit.Corrections);
        Assert.Equal((1, "Ada", CorrectedField.StationPressure, "101.3", "97.3"), (correction.Number, correction.Person, correction.Field, correction.OldValue, correction.NewValue));
        var later = Assert.Single(audit.Results);
        Assert.Equal((1, 1, true), (later.Number, later.Correction, later.Repeats));
        Assert.Equivalent(before.Summary.Result, audit.OriginalResult, strict: true);
        // ISO 2592: 0.25 °C/kPa (docs/methods.md): 4 kPa less are 1 °C more.
        Assert.Equal(1.0, later.Result.Flash!.CorrectedCelsius - before.Summary.Result!.Flash!.CorrectedCelsius, 6);
        Assert.Equal(97.3, later.Result.StationKilopascals);
        var after = await bench.GetAsync<RunDetail>($"/api/runs/{run}");
        Assert.Equivalent(later.Result, after.Summary.Result, strict: true);
        Assert.Equal(1, after.Summary.Corrections);
        Assert.Equal(101.3, after.Plan.StationPressureKilopascals);
        Assert.Equivalent(before.Events, after.Events, strict: true);
        Assert.Equivalent(later.Result, Assert.Single(await bench.GetAsync<RunSummary[]>("/api/runs")).Result, strict: true);
    }

    [Fact(Timeout = 60000)]
    public async Task Each_field_is_corrected_by_a_record_with_what_stood_there_and_a_second_time_from_the_first()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken, roles: Roles);
        var run = await DeterminedAsync(bench);

        await DoneAsync(bench, run, """{"field":"specimen","value":"Compressor oil, lot 8","reason":"Label misread.","person":"Ada"}""");
        await DoneAsync(bench, run, """{"field":"remark","value":"Foamed at first.","reason":"Forgotten.","person":"Ada"}""");
        await DoneAsync(bench, run, """{"field":"specimen","value":"Compressor oil, lot 9","reason":"Misread again.","person":"Bea"}""");
        var audit = await DoneAsync(bench, run, """{"field":"expected-flash","value":214,"reason":"Typed wrongly.","person":"Bea"}""");

        Assert.Equal(["Compressor oil, lot 7", null, "Compressor oil, lot 8", "220"], audit.Corrections.Select(correction => correction.OldValue));
        Assert.Equal(4, Assert.Single(audit.Results).Correction);
        Assert.Equal("Foamed at first.", audit.Remark);
        var summary = (await bench.GetAsync<RunDetail>($"/api/runs/{run}")).Summary;
        Assert.Equal(("Compressor oil, lot 9", 214.0, 4), (summary.Specimen, summary.ExpectedFlashCelsius, summary.Corrections));
        Assert.Equivalent(audit, await bench.GetAsync<RunAudit>($"/api/runs/{run}/corrections"), strict: true);
    }

    [Fact(Timeout = 60000)]
    public async Task An_approval_covers_the_run_as_it_stood_and_nobody_approves_what_they_corrected()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken, roles: Roles);
        var run = await ClosedAsync(bench);

        Assert.True((await DoneAsync(bench, run, """{"person":"Cy"}""", "approvals")).Approved);
        Assert.False((await DoneAsync(bench, run, """{"field":"remark","value":"Foamed.","reason":"Forgotten.","person":"Bea"}""")).Approved);
        await RefusedAsync(bench, run, """{"person":"Bea"}""", HttpStatusCode.Forbidden, "person", "somebody else has to approve it", "approvals");
        await RefusedAsync(bench, run, """{"person":"Ada"}""", HttpStatusCode.Forbidden, "person", "may not approve", "approvals");
        var audit = await DoneAsync(bench, run, """{"person":"Cy"}""", "approvals");

        Assert.True(audit.Approved);
        Assert.Equal([0, 1], audit.Approvals.Select(approval => approval.Corrections));
        await RefusedAsync(bench, run, """{"person":"Cy"}""", HttpStatusCode.Conflict, "person", "has approved", "approvals");
    }

    [Theory(Timeout = 60000)]
    [InlineData("{}", "field")]
    [InlineData("[]", "$")]
    [InlineData("""{"field":"verdict","value":"valid","reason":"x","person":"Ada"}""", "field")]
    [InlineData("""{"field":"specimen","value":7,"reason":"x","person":"Ada"}""", "value")]
    [InlineData("""{"field":"specimen","value":" ","reason":"x","person":"Ada"}""", "value")]
    [InlineData("""{"field":"remark","value":"a\nb","reason":"x","person":"Ada"}""", "value")]
    [InlineData("""{"field":"specimen","value":"\ud800","reason":"x","person":"Ada"}""", "value")]
    [InlineData("""{"field":"specimen","value":"b","reason":"\ud800","person":"Ada"}""", "reason")]
    [InlineData("""{"field":"station-pressure","value":"97","reason":"x","person":"Ada"}""", "value")]
    [InlineData("""{"field":"station-pressure","value":970,"reason":"x","person":"Ada"}""", "value")]
    [InlineData("""{"field":"station-pressure","value":1e400,"reason":"x","person":"Ada"}""", "value")]
    [InlineData("""{"field":"expected-flash","value":9000,"reason":"x","person":"Ada"}""", "value")]
    [InlineData("""{"field":"specimen","value":"b","reason":"","person":"Ada"}""", "reason")]
    [InlineData("""{"field":"specimen","value":"b","person":"Ada"}""", "reason")]
    [InlineData("""{"field":"specimen","value":"b","reason":"x"}""", "person")]
    [InlineData("""{"field":"specimen","value":"b","reason":"x","person":"=Ada"}""", "person")]
    [InlineData("""{"field":"specimen","value":"b","reason":"x","person":"Ada","by":"me"}""", "by")]
    public async Task A_correction_that_cannot_be_is_refused_at_its_field(string body, string path)
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken, roles: Roles);
        var run = await ClosedAsync(bench);

        await RefusedAsync(bench, run, body, HttpStatusCode.BadRequest, path, "");
        Assert.Empty((await bench.GetAsync<RunAudit>($"/api/runs/{run}/corrections")).Corrections);
    }

    [Fact(Timeout = 60000)]
    public async Task Only_those_who_may_correct_and_only_what_is_closed_and_only_to_something_else()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken, roles: Roles);
        const string ByAda = """{"field":"specimen","value":"Compressor oil, lot 7","reason":"x","person":"Ada"}""";
        var open = (await bench.StartRunAsync()).Id;
        await bench.SendAsync(TestTester.Heating(0, 10));
        await RefusedAsync(bench, open, ByAda, HttpStatusCode.Conflict, "id", "is open");
        await bench.StopRunAsync(open);

        await RefusedAsync(bench, open, ByAda.Replace("Ada", "Eve", StringComparison.Ordinal), HttpStatusCode.Forbidden, "person", "allowed: Ada, Bea");
        await RefusedAsync(bench, open, ByAda, HttpStatusCode.Conflict, "value", "stands there already");
        await RefusedAsync(bench, "nobody", ByAda, HttpStatusCode.NotFound, "id", "no run");
        using var deletion = await bench.Client.SendAsync(new HttpRequestMessage(HttpMethod.Delete, $"/api/runs/{open}") { Content = JsonContent.Create("") }, Cancelled);
        Assert.Equal(HttpStatusCode.MethodNotAllowed, deletion.StatusCode);
    }

    [Fact(Timeout = 60000)]
    public async Task Where_no_role_is_given_nobody_may()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);
        var run = await ClosedAsync(bench);

        await RefusedAsync(bench, run, """{"field":"specimen","value":"b","reason":"x","person":"Ada"}""", HttpStatusCode.Forbidden, "person", "allowed: nobody (roles.mayCorrect in the configuration)");
    }

    [Fact(Timeout = 60000)]
    public async Task A_run_is_put_on_hold_and_released_by_those_who_may_each_as_a_record()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken, roles: Roles);
        var run = await ClosedAsync(bench);

        Assert.True((await DoneAsync(bench, run, """{"held":true,"reason":"a complaint is open","person":"Ada"}""", "holds")).OnHold);
        await RefusedAsync(bench, run, """{"held":true,"reason":"x","person":"Ada"}""", HttpStatusCode.Conflict, "held", "on hold already", "holds");
        await RefusedAsync(bench, run, """{"held":false,"reason":"x","person":"Bea"}""", HttpStatusCode.Forbidden, "person", "may not release", "holds");
        await RefusedAsync(bench, run, """{"held":"no","reason":"x","person":"Ada"}""", HttpStatusCode.BadRequest, "held", "is not true or false", "holds");
        await RefusedAsync(bench, run, """{"reason":"x","person":"Ada"}""", HttpStatusCode.BadRequest, "held", "is missing", "holds");
        await RefusedAsync(bench, run, """{"held":false,"reason":" ","person":"Ada"}""", HttpStatusCode.BadRequest, "reason", "not only spaces", "holds");
        await RefusedAsync(bench, "nobody", """{"held":true,"reason":"x","person":"Ada"}""", HttpStatusCode.NotFound, "id", "no run", "holds");
        var audit = await DoneAsync(bench, run, """{"held":false,"reason":"settled","person":"Ada"}""", "holds");

        Assert.False(audit.OnHold);
        Assert.Equal([(1, true, "a complaint is open"), (2, false, "settled")], audit.Holds.Select(hold => (hold.Number, hold.Held, hold.Reason)));
    }

    [Fact(Timeout = 60000)]
    public async Task A_run_that_was_pruned_is_told_as_gone_with_who_and_why()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken, roles: Roles);
        var run = await ClosedAsync(bench);
        var summary = (await bench.GetAsync<RunDetail>($"/api/runs/{run}")).Summary;
        await bench.Archive.PruneAsync(new(run, summary.ClosedAt!.Value, "Bea", "ten years are over", summary.TesterId, summary.MethodId, summary.StartedAt, summary.ClosedAt.Value, "invalid", 0, null), Cancelled);

        foreach (var part in (string[])["", "/corrections", "/readings.csv", "/curve?width=10", "/export.json"])
        {
            using var answer = await bench.Client.GetAsync($"/api/runs/{run}{part}", Cancelled);
            Assert.True(answer.StatusCode == HttpStatusCode.Gone, part);
            Assert.Contains("by Bea: ten years are over", await answer.Content.ReadAsStringAsync(Cancelled), StringComparison.Ordinal);
        }

        await RefusedAsync(bench, run, """{"field":"remark","value":"Foamed.","reason":"x","person":"Ada"}""", HttpStatusCode.Gone, "id", "by Bea: ten years are over");
        await RefusedAsync(bench, run, """{"person":"Cy"}""", HttpStatusCode.Gone, "id", "by Bea: ten years are over", "approvals");
        await RefusedAsync(bench, run, """{"held":true,"reason":"x","person":"Ada"}""", HttpStatusCode.Gone, "id", "by Bea: ten years are over", "holds");
    }

    [Fact(Timeout = 60000)]
    public async Task Of_two_who_correct_at_once_one_is_told_to_look_again()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken, roles: Roles);
        var run = await ClosedAsync(bench);
        var bodies = Enumerable.Range(0, 8).Select(index => $$"""{"field":"remark","value":"remark {{index}}","reason":"x","person":"Ada"}""");

        var answers = await Task.WhenAll(bodies.Select(body => bench.PostAsync($"/api/runs/{run}/corrections", body)));

        var corrections = (await bench.GetAsync<RunAudit>($"/api/runs/{run}/corrections")).Corrections;
        Assert.Equal(answers.Count(answer => answer.StatusCode == HttpStatusCode.Created), corrections.Count);
        Assert.All(answers, answer => Assert.True(answer.StatusCode is HttpStatusCode.Created or HttpStatusCode.Conflict, $"{answer.StatusCode}"));
        Assert.Equal(corrections.Select(correction => correction.OldValue).Skip(1), corrections.Select(correction => correction.NewValue).SkipLast(1));
        foreach (var answer in answers)
        {
            answer.Dispose();
        }
    }

    [Fact(Timeout = 60000)]
    public async Task Of_two_who_approve_at_once_one_is_told_to_look_again_and_the_archive_goes_on()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken, roles: new([], [.. Enumerable.Range(0, 8).Select(index => $"Person {index}")]));
        var run = await ClosedAsync(bench);

        var answers = await Task.WhenAll(Enumerable.Range(0, 8).Select(index => bench.PostAsync($"/api/runs/{run}/approvals", $$"""{"person":"Person {{index}}"}""")));

        Assert.All(answers, answer => Assert.True(answer.StatusCode is HttpStatusCode.Created or HttpStatusCode.Conflict, $"{answer.StatusCode}"));
        var approvals = (await bench.GetAsync<RunAudit>($"/api/runs/{run}/corrections")).Approvals;
        Assert.Equal(answers.Count(answer => answer.StatusCode == HttpStatusCode.Created), approvals.Count);
        Assert.Equal(Enumerable.Range(1, approvals.Count), approvals.Select(approval => approval.Number));
        foreach (var answer in answers)
        {
            answer.Dispose();
        }
    }

    private static async Task<string> ClosedAsync(AppBench bench)
    {
        var run = await bench.StartRunAsync();
        await bench.SendAsync(TestTester.Heating(0, 10));
        await SourceSamples.Until(() => bench.Inbox.Counters.QueueDepth == 0, "all rows taken", Cancelled);
        await bench.StopRunAsync(run.Id);
        return run.Id;
    }

    // A simulated run with a flash point of 220 °C.
    private static async Task<string> DeterminedAsync(AppBench bench)
    {
        var run = await bench.StartRunAsync();
        var method = MethodCatalog.All.Single(method => method.Id == TestTester.Request.MethodId);
        await bench.SendAsync(new SimulatedRun(new() { Method = method, FlashCelsius = TestTester.ExpectedFlashCelsius, ExpectedFlashCelsius = TestTester.ExpectedFlashCelsius, RowsPerSecond = 10, CoolingSeconds = 5, Seed = 3 }));
        await SourceSamples.Until(() => bench.Inbox.Counters.QueueDepth == 0, "all rows taken", Cancelled);
        Assert.NotNull((await bench.StopRunAsync(run.Id)).Result!.Flash);
        return run.Id;
    }

    private static async Task<RunAudit> DoneAsync(AppBench bench, string run, string body, string what = "corrections")
    {
        using var answer = await bench.PostAsync($"/api/runs/{run}/{what}", body);
        Assert.True(answer.StatusCode == HttpStatusCode.Created, await answer.Content.ReadAsStringAsync(Cancelled));
        return (await answer.Content.ReadFromJsonAsync<RunAudit>(LiveJson.Options, Cancelled))!;
    }

    private static async Task RefusedAsync(AppBench bench, string run, string body, HttpStatusCode status, string path, string words, string what = "corrections")
    {
        using var answer = await bench.PostAsync($"/api/runs/{run}/{what}", body);
        Assert.Equal(status, answer.StatusCode);
        var error = (await answer.Content.ReadFromJsonAsync<JsonElement>(Cancelled)).GetProperty("errors")[0];
        Assert.Equal(path, error.GetProperty("path").GetString());
        Assert.Contains(words, error.GetProperty("message").GetString(), StringComparison.Ordinal);
    }
}
