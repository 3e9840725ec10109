using System.Globalization;
using System.Text;
using Acquire.EndToEnd.Tests.Rig;

namespace Acquire.Benchmarks.Campaigns.Load;

/// <summary>Holds the rate of the full path against that of a bare counter, with the same publishers and broker, in turns of one run.</summary>
internal static class ShareCampaign
{
    private const int Testers = 50;
    private const double PhaseSeconds = 8;
    private const double DrainSeconds = 30;

    // The testers' time goes on from phase to phase: one that goes back is a tester that was started again.
    private static double _axis;

    /// <summary>Measures over the embedded broker, or over mosquitto; adds rows to the report. False where a message was lost.</summary>
    public static async Task<bool> RunAsync(bool embedded, int rounds, StringBuilder report)
    {
        using var folder = new TestFolder();
        var port = Installed.FreePort();
        await using var broker = embedded ? null : await LoadBroker.StartAsync(folder, port);
        string[] testers = [.. Enumerable.Range(0, Testers).Select(tester => ConfigText.Mqtt(LoadedService.Id(tester)))];
        await using var service = await LoadedService.StartAsync(folder, embedded ? ConfigText.Embedded(port, testers) : ConfigText.External(port, testers));
        await using var overview = await OverviewReader.StartAsync(service);
        var bare = embedded
            ? new[] { await BareCounter.StartAsync("broker with a subscriber that counts", CountingChild.BrokerAndSubscriber, Installed.FreePort()), await BareCounter.StartAsync("broker that counts what comes in, no subscriber", CountingChild.Broker, Installed.FreePort()) }
            : [await BareCounter.StartAsync("subscriber that counts", CountingChild.Subscriber, port)];
        var (bareRates, fullRates, lost) = (bare.Select(_ => new List<double>()).ToArray(), new List<double>(), 0L);
        for (var round = 0; round <= rounds; round++)
        {
            // The first round warms all of them up and is thrown away.
            for (var one = 0; one < bare.Length; one++)
            {
                await BareAsync(bare[one], round == 0 ? [] : bareRates[one]);
            }

            lost += await FullAsync(service, overview, port, round == 0 ? [] : fullRates);
        }

        for (var one = 0; one < bare.Length; one++)
        {
            Row(report, embedded ? "embedded" : "mosquitto", bare[one].Name, isGoal: one == 0, bareRates[one], fullRates, lost);
            await bare[one].DisposeAsync();
        }

        return lost == 0;
    }

    private static async Task BareAsync(BareCounter counter, List<double> rates)
    {
        var done = counter.Begin();
        var wires = Connect(counter.Port, tester => $"bare/{tester}/readings");
        var (sent, rate) = await Task.Run(() => SaturatedPublisher.Run(wires, done, PhaseSeconds, _axis));
        rates.Add(await done.ReachesAsync(sent, DrainSeconds) ? rate : throw new InvalidOperationException($"The bare counter got {done.Count} of {sent} messages."));
        End(wires);
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{counter.Name}: {rate:#,0} a second"));
    }

    private static async Task<long> FullAsync(LoadedService service, OverviewReader overview, int port, List<double> rates)
    {
        var runs = await service.StartRunsAsync(Testers);
        await using var frames = await FrameReader.StartAsync(service, [(runs[0], new PublishTimes(0))]);
        var done = overview.Begin();
        var wires = Connect(port, LoadedService.Topic);
        var (sent, rate) = await Task.Run(() => SaturatedPublisher.Run(wires, done, PhaseSeconds, _axis));
        await done.ReachesAsync(sent, DrainSeconds);
        var archived = await service.StopRunsAsync(runs);
        End(wires);
        rates.Add(rate);
        var malformed = (await service.TestersAsync()).Sum(tester => tester.Counters.Malformed);
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"full path: {rate:#,0} a second, {sent - archived} of {sent} lost, {malformed} refused, {frames.Frames} frames"));
        return sent - archived;
    }

    private static TesterWire[] Connect(int port, Func<int, string> topic) => [.. Enumerable.Range(0, Testers).Select(tester => TesterWire.Connect(port, $"wire-{tester}", topic(tester)))];

    private static void End(TesterWire[] wires)
    {
        _axis += (wires.Max(wire => wire.Messages) * 0.1) + 1000;
        Array.ForEach(wires, wire => wire.Dispose());
    }

    private static void Row(StringBuilder report, string broker, string counter, bool isGoal, List<double> bare, List<double> full, long lost)
    {
        var share = Median(full) / Median(bare);
        report.AppendLine(CultureInfo.InvariantCulture, $"| {broker} | {counter} | {Median(bare):#,0} ({bare.Min():#,0} to {bare.Max():#,0}) | {Median(full):#,0} ({full.Min():#,0} to {full.Max():#,0}) | {lost} | {100 * share:0} % | {(isGoal ? share >= 0.6 ? "held" : "not held" : "none")} |");
    }

    private static double Median(List<double> rates) => rates.Order().ElementAt(rates.Count / 2);
}
