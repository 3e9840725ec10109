using System.Diagnostics;
using System.Globalization;
using System.Text;
using Acquire.EndToEnd.Tests.Rig;

namespace Acquire.Benchmarks.Campaigns.Load;

/// <summary>What the service is loaded with.</summary>
/// <param name="Testers">Testers, each with a run open.</param>
/// <param name="Seconds">For how long, s.</param>
/// <param name="Followed">How many of the runs a reader follows live, beside the overview.</param>
/// <param name="Embedded">Whether they publish to the broker inside the service; else to mosquitto.</param>
internal sealed record SteadyLoad(int Testers, int Seconds, int Followed, bool Embedded)
{
    /// <summary>Messages a second of each tester.</summary>
    public const int MessagesPerSecond = 10;

    /// <summary>Publishing before the time that is asked for, s: the service has just been started, and the compiler is not done with it.</summary>
    public const int WarmUpSeconds = 30;
}

/// <summary>Many testers at a steady rate: what is lost, how late it is live, and what the service holds.</summary>
internal static class SteadyCampaign
{
    private const double DrainSeconds = 30;
    private const int SecondsForCollections = 10;

    /// <summary>Runs it; whether every goal was held, and the report.</summary>
    public static async Task<(bool Good, StringBuilder Report)> RunAsync(SteadyLoad load)
    {
        using var folder = new TestFolder();
        var port = Installed.FreePort();
        await using var broker = load.Embedded ? null : await LoadBroker.StartAsync(folder, port);
        string[] testers = [.. Enumerable.Range(0, load.Testers).Select(tester => ConfigText.Mqtt(LoadedService.Id(tester)))];
        SteadyOutcome outcome;
        await using (var service = await LoadedService.StartAsync(folder, load.Embedded ? ConfigText.Embedded(port, testers) : ConfigText.External(port, testers)))
        {
            outcome = await LoadAsync(service, load, port);
            await service.EndAsync();
        }

        outcome = outcome with { Verified = await VerifyAsync(folder) };
        return (outcome.Good, outcome.Report());
    }

    private static async Task<SteadyOutcome> LoadAsync(LoadedService service, SteadyLoad load, int port)
    {
        await using var overview = await OverviewReader.StartAsync(service);
        var runs = await service.StartRunsAsync(load.Testers);
        TesterWire[] wires = [.. Enumerable.Range(0, load.Testers).Select(tester => TesterWire.Connect(port, $"wire-{tester}", LoadedService.Topic(tester)))];
        PublishTimes[] times = [.. Enumerable.Range(0, load.Testers).Select(_ => new PublishTimes((SteadyLoad.WarmUpSeconds + load.Seconds) * SteadyLoad.MessagesPerSecond))];

        // Spread over all testers: the first and the last of a turn of the publisher are among them.
        var followed = Math.Min(load.Followed, load.Testers);
        await using var frames = await FrameReader.StartAsync(service, [.. Enumerable.Range(0, followed).Select(one => one * load.Testers / followed).Select(tester => (runs[tester], times[tester]))]);
        // The first fifth is left out of what is said of the memory. Both collections are under load: the runs are open and the readings go on.
        var publishing = PublishAsync(wires, times, SteadyLoad.WarmUpSeconds + load.Seconds);
        await Task.WhenAny(publishing, Task.Delay(TimeSpan.FromSeconds(SteadyLoad.WarmUpSeconds + (load.Seconds / 5)), TimeProvider.System));
        var settled = Stopwatch.GetTimestamp();
        await MemoryTrace.CollectAsync(service.MemoryFile);
        await Task.WhenAny(publishing, Task.Delay(TimeSpan.FromSeconds((load.Seconds * 4 / 5) - SecondsForCollections), TimeProvider.System));
        await MemoryTrace.CollectAsync(service.MemoryFile);
        var latest = await publishing;
        var ended = Stopwatch.GetTimestamp();
        var busy = LoadMachine.Busy();
        var sent = wires.Sum(wire => wire.Messages);
        await overview.Archived.ReachesAsync(sent, DrainSeconds);
        var counters = (await service.TestersAsync()).Select(tester => tester.Counters).ToArray();
        var archived = await service.StopRunsAsync(runs);
        Array.ForEach(wires, wire => wire.Dispose());
        return new(
            load, sent, counters.Sum(counter => counter.Rows), archived, counters.Sum(counter => counter.Malformed), counters.Sum(counter => counter.QueueFull),
            frames.Delays(fromNumber: SteadyLoad.WarmUpSeconds * SteadyLoad.MessagesPerSecond, to: int.MaxValue), frames.Delays(0, SteadyLoad.WarmUpSeconds * SteadyLoad.MessagesPerSecond), frames.Frames, latest,
            MemoryTrace.Read(service.MemoryFile, settled, ended), busy, "");
    }

    /// <summary>Publishes on all wires, each at its own part of the tenth of a second; how late the latest message was against its plan, s.</summary>
    private static async Task<double> PublishAsync(TesterWire[] wires, PublishTimes[] times, int seconds)
    {
        var (start, next, latest) = (Stopwatch.GetTimestamp(), 0L, 0.0);
        var total = (long)wires.Length * seconds * SteadyLoad.MessagesPerSecond;
        var perSecond = wires.Length * SteadyLoad.MessagesPerSecond;
        using var timer = new PeriodicTimer(TimeSpan.FromMilliseconds(2));
        while (next < total && await timer.WaitForNextTickAsync())
        {
            for (var due = (long)(Stopwatch.GetElapsedTime(start).TotalSeconds * perSecond); next < total && next <= due; next++)
            {
                var (number, tester) = Math.DivRem(next, wires.Length);
                latest = Math.Max(latest, Stopwatch.GetElapsedTime(start).TotalSeconds - (next / (double)perSecond));
                times[tester].Add(Stopwatch.GetTimestamp() / (double)Stopwatch.Frequency);
                var at = number / (double)SteadyLoad.MessagesPerSecond;
                wires[tester].Add(at, ReadingScript.At(at, number, (int)tester));
                wires[tester].Send();
            }
        }

        return latest;
    }

    private static async Task<string> VerifyAsync(TestFolder folder)
    {
        await using var verify = AcquireProgram.Start("archive", "verify", "--config", folder["acquire.json"]);
        var code = await verify.EndAsync(600);
        return code == 0 ? "sound" : throw new InvalidOperationException(string.Create(CultureInfo.InvariantCulture, $"archive verify ended with {code}: {verify.Output}{verify.Error}"));
    }
}
