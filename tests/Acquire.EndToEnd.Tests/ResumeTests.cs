using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.EndToEnd.Tests.Rig;
using Acquire.Service.Live;
using Xunit;

namespace Acquire.EndToEnd.Tests;

/// <summary>The service is killed in mid-run and started again while the tester at its serial line goes on.</summary>
public sealed class ResumeTests
{
    private const string Bench = "bench-1";

    /// <summary>How many rows are archived before the kill, and what the gap then is to the rule of the method: far below the first application a note, in the series more.</summary>
    public static TheoryData<int, FindingWeight[]> Moments => new()
    {
        { 6_000, [FindingWeight.Note] },
        { 52_000, [FindingWeight.Doubtful, FindingWeight.Invalid] },
    };

    [Theory(Timeout = 900_000)]
    [MemberData(nameof(Moments))]
    public async Task The_run_is_finished_with_the_gap_as_a_finding_and_the_verdict_that_the_rule_gives(int rowsBefore, FindingWeight[] weights)
    {
        using var folder = new TestFolder();
        await using var line = await SocatPair.PlugInAsync(folder);
        using var unread = new UnreadLine(line.ServiceEnd);
        var config = ConfigText.Of(ConfigText.Serial(Bench, line.ServiceEnd)).Replace("\"dataDirectory\"", "\"resume\": { \"withinMinutes\": 60 }, \"dataDirectory\"", StringComparison.Ordinal);
        var specimen = Specimens.Of(214, 11) with { StationPressureKilopascals = 97.6 };
        RunningService.Acknowledged acknowledged;
        await using var service = await RunningService.ServeAsync(folder, config);
        await service.Api.ConnectedAsync(Bench);
        var run = await service.Api.StartAsync(Bench, specimen);
        await using var tester = SimulateCommand.Speak(specimen, "--serial", line.TesterEnd);
        await service.Api.ArchivedAsync(run.Id, rowsBefore);
        acknowledged = await service.AcknowledgedAsync(run.Id);
        Assert.Equal(0, (await AcquireProgram.RunAsync("archive", "head", "--data", folder["data"], "--out", folder["head.json"])).Code);

        await service.KillAsync();
        var lost = unread.Lose();
        await Task.Delay(TimeSpan.FromSeconds(1), TimeProvider.System, TestContext.Current.CancellationToken);
        var starting = RunningService.ServeAsync(folder, config);
        Assert.True(await lost() > 0, "nothing was said while the service was away");
        await using var again = await starting;
        await AssertGoesOnAsync(again, acknowledged);
        var said = await SimulateCommand.SaidAsync(tester);
        var last = said.Last().AtSeconds;
        await Waiting.ForAsync(() => again.Api.TesterAsync(Bench), seen => seen.Status?.AtSeconds >= last || seen.Run?.ClosedAt is not null, "the tester's last row", Waiting.RunSeconds);
        var closed = (await again.Api.RunAsync(run.Id)).Summary.ClosedAt is null ? await again.Api.StopAsync(run.Id) : (await again.Api.RunAsync(run.Id)).Summary;

        await AssertRecordAsync(again, folder, closed, specimen, weights);
        Assert.Equal(0, await again.TerminateAsync());
        await AssertSoundAsync(folder);
    }

    private static async Task AssertGoesOnAsync(RunningService service, RunningService.Acknowledged acknowledged)
    {
        var kept = await service.Api.TakenUpAsync(acknowledged.RunId);
        Assert.Equal((false, 1), (kept.Summary.Interrupted, kept.Summary.Resumed));
        Assert.True(kept.Summary.ArchivedRows >= acknowledged.Rows, $"{kept.Summary.ArchivedRows} rows are there, {acknowledged.Rows} were acknowledged");
        Assert.Equal(acknowledged.Events, kept.Events.Take(acknowledged.Events.Count));
        Assert.Single(kept.Events, fact => fact is RunResumed);
    }

    private static async Task AssertRecordAsync(RunningService service, TestFolder folder, RunSummary closed, Simulator.SimulatorOptions specimen, FindingWeight[] weights)
    {
        var (detail, rows) = (await service.Api.RunAsync(closed.Id), await service.Api.RowsAsync(closed.Id));
        var resumed = Assert.Single(detail.Events.OfType<RunResumed>());
        var behind = rows.First(row => row.AtSeconds > resumed.ReadingSeconds);
        var gap = Assert.Single(closed.Result!.Findings, finding => finding.Code == FindingCodes.DataGap);
        Assert.Contains(gap.Weight, weights);
        Assert.Equal(behind.AtSeconds - resumed.ReadingSeconds!.Value, gap.Value!.Value, 0.1);
        Assert.Equal(weights[0] == FindingWeight.Note ? Verdict.Valid : gap.Weight == FindingWeight.Invalid ? Verdict.Invalid : Verdict.Doubtful, closed.Result.Verdict);
        TestContext.Current.TestOutputHelper?.WriteLine($"{resumed.SecondsAway} s away, {gap.Value:0.0} s of the tester's time: {gap.Weight}, {closed.Result.Verdict}, flash {closed.Result.Flash?.ObservedCelsius}");

        var stated = new List<RunOutput>();
        RunReplay.RunWhole(detail.Plan, rows, detail.Events, stated);
        Assert.Equal(detail.Events.Select(Text), stated.Select(Text));
        var trace = folder.Write("record.csv", await service.Api.CsvAsync(closed.Id));
        (await ReplayCommand.JudgeAsync(trace, specimen)).AssertSays(closed.Result);
        static string Text(RunOutput fact) => System.Text.Json.JsonSerializer.Serialize(fact, LiveJson.Options);
    }

    private static async Task AssertSoundAsync(TestFolder folder)
    {
        var ended = await AcquireProgram.RunAsync("archive", "verify", "--data", folder["data"], "--head", folder["head.json"]);
        Assert.True(ended.Code == 0, ended.Output + ended.Error);
    }
}
