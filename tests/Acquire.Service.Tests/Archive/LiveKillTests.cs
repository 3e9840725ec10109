using Acquire.ArchiveVictim;
using Xunit;

namespace Acquire.Service.Tests.Archive;

/// <summary>A few rounds of the campaigns whose figures stand in docs/archive-faults.md.</summary>
public sealed class LiveKillTests(ITestOutputHelper output)
{
    private const int Kills = 6;
    private const int Testers = 3;

    [Fact(Timeout = 180000)]
    public async Task A_kill_under_live_load_takes_nothing_acknowledged_and_what_was_open_goes_on()
    {
        var cancel = TestContext.Current.CancellationToken;
        using var bench = new ArchiveBench();
        var (seed, acknowledged, epoch) = (Environment.TickCount, new Acknowledged(), TimeProvider.System.GetUtcNow());
        output.WriteLine($"seed {seed}");
        var (random, look) = (new Random(seed), new LiveCheck.Look([], 0, 0, 0, []));
        for (var kill = 1; kill <= Kills; kill++)
        {
            await using (var victim = VictimProcess.Start(bench.Path, epoch, Testers, acknowledged))
            {
                // Long enough that something is acknowledged in the first life, whatever the machine.
                await UntilAsync(() => kill > 1 || victim.Now().Runs.Values.Any(run => run.Rows > 100), cancel);
                await Task.Delay(TimeSpan.FromMilliseconds(random.Next(1, 1500)), TimeProvider.System, cancel);
                await victim.KillAsync();
            }

            look = await LiveCheck.LookAsync(bench.Path, acknowledged);
            Assert.Empty(look.Wrong);
        }

        output.WriteLine($"{acknowledged.Runs.Count} runs, {look.Rows} rows, {look.Facts} facts; taken up {look.TakenUp} times, {look.Interrupted.Count} could not go on: {string.Join("; ", look.Interrupted)}");
        Assert.True(look.Rows > 100);
    }

    [Fact(Timeout = 180000)]
    public async Task A_power_cut_takes_nothing_acknowledged_whatever_became_of_what_was_not_flushed()
    {
        const int Moments = 4;
        var cancel = TestContext.Current.CancellationToken;
        using var bench = new ArchiveBench();
        var (seed, acknowledged) = (Environment.TickCount, new Acknowledged());
        output.WriteLine($"seed {seed}");
        var random = new Random(seed);
        await using var victim = VictimProcess.Start(bench.Path, TimeProvider.System.GetUtcNow(), Testers, acknowledged);
        await UntilAsync(() => victim.Now() is { Head: not null } now && now.Runs.Values.Any(run => run.Rows > 100), cancel);
        for (var moment = 0; moment < Moments; moment++)
        {
            await Task.Delay(TimeSpan.FromMilliseconds(random.Next(50, 400)), TimeProvider.System, cancel);
            var must = victim.Now();
            var before = Frozen(victim, bench.Path);
            await Task.Delay(TimeSpan.FromMilliseconds(random.Next(0, 120)), TimeProvider.System, cancel);
            var after = Frozen(victim, bench.Path);
            for (var kind = 0; kind < PowerCut.Kinds.Count; kind++)
            {
                Assert.Empty(await WrongAsync(PowerCut.Make(kind, before, after, random).Image, must));
            }

            // The check would tell: half of the log is not what a disk that flushes may hold.
            if (before.CommittedBytes > 100_000)
            {
                Assert.NotEmpty(await WrongAsync(new(before.Database, before.Log[..(before.CommittedBytes / 2)], []), must));
            }
        }
    }

    private static ArchiveImage Frozen(VictimProcess victim, string path)
    {
        victim.Freeze(true);
        var image = ArchiveImage.Take(path);
        victim.Freeze(false);
        return image;
    }

    private static async Task<IReadOnlyList<string>> WrongAsync(ArchiveImage image, Acknowledged must)
    {
        using var cut = new ArchiveBench();
        image.Write(cut.Path);
        return (await LiveCheck.LookAsync(cut.Path, must)).Wrong;
    }

    private static async Task UntilAsync(Func<bool> condition, CancellationToken cancel)
    {
        while (!condition())
        {
            await Task.Delay(TimeSpan.FromMilliseconds(10), TimeProvider.System, cancel);
        }
    }
}
