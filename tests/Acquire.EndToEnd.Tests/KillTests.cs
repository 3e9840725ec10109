using Acquire.Core.Results;
using Acquire.EndToEnd.Tests.Rig;
using Acquire.Simulator;
using Xunit;

namespace Acquire.EndToEnd.Tests;

/// <summary>The service is killed without warning in mid-run, and started again.</summary>
public sealed class KillTests
{
    private const string Bench = "bench-1";

    [Fact(Timeout = 600_000)]
    public async Task A_kill_in_mid_run_takes_no_acknowledged_row_and_the_next_start_goes_on()
    {
        const long Enough = 20_000;
        using var folder = new TestFolder();
        var port = Installed.FreePort();
        var config = ConfigText.Embedded(port, ConfigText.Mqtt(Bench));
        var said = new SimulatedRun(Specimens.Of(205, 31));
        RunningService.Acknowledged acknowledged;
        await using (var service = await RunningService.ServeAsync(folder, config))
        {
            await service.Api.ConnectedAsync(Bench);
            var run = await service.Api.StartAsync(Bench, said.Options);
            using var speaking = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
            var speaker = Mqtt(port).SpeakAsync(said, Specimens.Speed, speaking.Token);
            await service.Api.ArchivedAsync(run.Id, Enough);
            acknowledged = await service.AcknowledgedAsync(run.Id);
            Assert.Equal(0, (await AcquireProgram.RunAsync("archive", "head", "--data", folder["data"], "--out", folder["head.json"])).Code);
            await service.KillAsync();
            await speaking.CancelAsync();
            await Assert.ThrowsAnyAsync<OperationCanceledException>(() => speaker);
        }

        await AssertSoundAsync(folder);
        await using var again = await RunningService.ServeAsync(folder, config);
        await AssertKeptAsync(again, acknowledged, said);
        await AssertSoundAsync(folder);
        await AssertGoesOnAsync(again, port, acknowledged.RunId, said);
        await AssertSoundAsync(folder);
    }

    // Against what a witness was given before the kill: by the program itself, while the service is down, runs, and has ended.
    private static async Task AssertSoundAsync(TestFolder folder)
    {
        var ended = await AcquireProgram.RunAsync("archive", "verify", "--data", folder["data"], "--head", folder["head.json"]);
        Assert.True(ended.Code == 0, ended.Output + ended.Error);
        Assert.Contains("sound.", ended.Output, StringComparison.Ordinal);
    }

    private static async Task AssertKeptAsync(RunningService service, RunningService.Acknowledged acknowledged, SimulatedRun said)
    {
        var kept = await service.Api.TakenUpAsync(acknowledged.RunId);
        Assert.Equal((false, null, 1), (kept.Summary.Interrupted, kept.Summary.ClosedAt, kept.Summary.Resumed));
        Assert.True(kept.Summary.ArchivedRows >= acknowledged.Rows, $"{kept.Summary.ArchivedRows} rows are there, {acknowledged.Rows} were acknowledged");
        Assert.True(kept.Events.Count >= acknowledged.Events.Count, $"{kept.Events.Count} facts are there, {acknowledged.Events.Count} were acknowledged");
        Assert.Equal(acknowledged.Events, kept.Events.Take(acknowledged.Events.Count));
        Truth.AssertSame(said.Take((int)kept.Summary.ArchivedRows), await service.Api.RowsAsync(acknowledged.RunId));
        TestContext.Current.TestOutputHelper?.WriteLine($"acknowledged {acknowledged.Rows} rows and {acknowledged.Events.Count} facts, found {kept.Summary.ArchivedRows} and {kept.Events.Count}");
    }

    // The tester goes on half a minute later.
    private static async Task AssertGoesOnAsync(RunningService service, int port, string runId, SimulatedRun said)
    {
        const double Away = 30;
        await service.Api.ConnectedAsync(Bench);
        var before = (await service.Api.RowsAsync(runId)).ToArray();
        var after = said.SkipWhile(row => row.AtSeconds < before[^1].AtSeconds + Away).ToArray();
        await Mqtt(port).SpeakAsync(after, Specimens.Speed, TestContext.Current.CancellationToken);
        var closed = await service.Api.FinishedAsync(runId, before.Length + after.Length);
        Assert.Equal((false, 1), (closed.Interrupted, closed.Resumed));
        var gap = Assert.Single(closed.Result!.Findings, finding => finding.Code == FindingCodes.DataGap);
        Assert.Equal(Away, gap.Value!.Value, 0.1);
        Truth.AssertSame([.. before, .. after], await service.Api.RowsAsync(runId));
        Assert.Equal(0, await service.TerminateAsync());
    }

    private static MqttSpeaker Mqtt(int port) => new(new MqttSpeakerOptions { Tester = Bench, Port = port }, TimeProvider.System);
}
