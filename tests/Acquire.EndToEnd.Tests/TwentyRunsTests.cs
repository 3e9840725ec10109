using System.Collections.Concurrent;
using Acquire.EndToEnd.Tests.Rig;
using Acquire.Service.Live;
using Acquire.Simulator;
using Xunit;

namespace Acquire.EndToEnd.Tests;

/// <summary>Twenty specimens, live at once and from their traces.</summary>
public sealed class TwentyRunsTests
{
    private const int Seeds = 20;

    /// <summary>1 to 20.</summary>
    public static TheoryData<int> EachSeed => [.. Enumerable.Range(1, Seeds)];

    [Fact(Timeout = 900_000, DisableParallelization = true)]
    public async Task Twenty_testers_at_once_at_sixty_times_the_speed_lose_no_row_and_each_gives_its_truth()
    {
        using var folder = new TestFolder();
        var port = Installed.FreePort();
        var ids = Enumerable.Range(1, Seeds).ToDictionary(seed => seed, seed => $"bench-{seed}");
        await using var service = await RunningService.ServeAsync(folder, ConfigText.Embedded(port, [.. ids.Values.Select(id => ConfigText.Mqtt(id))]));
        var troubles = new ConcurrentQueue<string>();

        var runs = await Task.WhenAll(ids.Select(pair => OneAsync(service.Api, pair.Key, pair.Value, port, troubles)));

        // A message is said twice only after trouble on the wire; without any, what arrived is what was said.
        Assert.Empty(troubles);
        Assert.Multiple([.. runs.Select<(SimulatedRun Said, RunSummary Closed), Action>(run => () => Truth.AssertMet(run.Said.Truth, run.Closed.Result, $"seed {run.Said.Truth.Seed}"))]);
        foreach (var (said, closed) in runs)
        {
            Truth.AssertSame(said, await service.Api.RowsAsync(closed.Id));
            var counters = (await service.Api.TesterAsync(closed.TesterId)).Counters;
            Assert.Equal((said.LongCount(), 0), (counters.Rows, counters.Malformed));
        }
    }

    [Theory(Timeout = 300_000)]
    [MemberData(nameof(EachSeed))]
    public async Task A_simulated_trace_replays_to_its_truth(int seed)
    {
        using var folder = new TestFolder();
        var specimen = Specimens.OfSeed(seed);
        var written = await AcquireProgram.RunAsync([.. SimulateCommand.Arguments(specimen), "--out", folder["run.csv"]]);
        Assert.Equal(0, written.Code);
        var truth = TraceWriter.ParseTruth(await File.ReadAllTextAsync(folder["run.truth.json"], TestContext.Current.CancellationToken));

        var replayed = await ReplayCommand.JudgeAsync(folder["run.csv"], specimen);

        Truth.AssertNear(truth.Flash!.TemperatureCelsius, replayed.ObservedFlashC, "flash point");
        Truth.AssertNear(truth.Fire!.TemperatureCelsius, replayed.ObservedFireC, "fire point");
    }

    private static async Task<(SimulatedRun Said, RunSummary Closed)> OneAsync(ServiceApi api, int seed, string id, int port, ConcurrentQueue<string> troubles)
    {
        await api.ConnectedAsync(id);
        var said = new SimulatedRun(Specimens.OfSeed(seed));
        var run = await api.StartAsync(id, said.Options);
        var speaker = new MqttSpeaker(new MqttSpeakerOptions { Tester = id, Port = port }, TimeProvider.System, troubles.Enqueue);
        await Task.Run(() => speaker.SpeakAsync(said, Specimens.Speed, TestContext.Current.CancellationToken));
        return (said, await api.FinishedAsync(run.Id, said.LongCount()));
    }
}
