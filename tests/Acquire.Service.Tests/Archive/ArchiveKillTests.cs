using System.Diagnostics;
using System.Globalization;
using Acquire.ArchiveVictim;
using Acquire.Service.Archive.Chain;
using Xunit;

namespace Acquire.Service.Tests.Archive;

public sealed class ArchiveKillTests(ITestOutputHelper output)
{
    private const int Kills = 8;

    /// <summary>A process that writes is killed without warning (SIGKILL on Unix) at random moments; what it had called acknowledged must all be there.</summary>
    [Fact(Timeout = 180000)]
    public async Task A_kill_takes_nothing_that_was_acknowledged()
    {
        var cancel = TestContext.Current.CancellationToken;
        using var bench = new ArchiveBench();
        var seed = Environment.TickCount;
        output.WriteLine($"seed {seed}");
        var random = new Random(seed);
        for (var kill = 1; kill <= Kills; kill++)
        {
            var runId = $"killed-{kill}";
            var (rows, facts) = await RunAndKillAsync(bench.Path, runId, TimeSpan.FromMilliseconds(random.Next(20, 700)), cancel);
            await AssertKeptAsync(bench, runId, rows, facts);
        }
    }

    private static async Task<(long Rows, int Facts)> RunAndKillAsync(string path, string runId, TimeSpan life, CancellationToken cancel)
    {
        var victim = Path.Combine(AppContext.BaseDirectory, "Acquire.ArchiveVictim.dll");
        using var process = Process.Start(new ProcessStartInfo("dotnet", ["exec", victim, path, runId]) { RedirectStandardOutput = true, RedirectStandardError = true })!;
        try
        {
            var last = await process.StandardOutput.ReadLineAsync(cancel);
            if (last is null)
            {
                Assert.Fail("The victim ended by itself: " + await process.StandardError.ReadToEndAsync(cancel));
            }

            var killing = KillAfterAsync(process, life, cancel);
            while (await process.StandardOutput.ReadLineAsync(cancel) is { } line)
            {
                // The kill may cut the last line; a number that has lost digits claims less, never more.
                last = line.Split(' ', StringSplitOptions.RemoveEmptyEntries).Length == 3 ? line : last;
            }

            await killing;
            var words = last.Split(' ');
            return (long.Parse(words[1], CultureInfo.InvariantCulture), int.Parse(words[2], CultureInfo.InvariantCulture));
        }
        finally
        {
            process.Kill();
        }
    }

    private static async Task KillAfterAsync(Process process, TimeSpan life, CancellationToken cancel)
    {
        await Task.Delay(life, TimeProvider.System, cancel);
        process.Kill();
        await process.WaitForExitAsync(cancel);
    }

    private async Task AssertKeptAsync(ArchiveBench bench, string runId, long rows, int facts)
    {
        await using var archive = bench.Open();
        Assert.Empty(archive.Check());
        Assert.Empty(ArchiveVerifier.Verify(bench.Path).Faults);
        var run = archive.FindRun(runId)!;
        Assert.True(run.Summary.Interrupted);
        Assert.Null(run.Summary.ClosedAt);
        Assert.True(run.Summary.ArchivedRows >= rows, $"{run.Summary.ArchivedRows} rows are there, {rows} were acknowledged");
        Assert.True(run.Events.Count >= facts, $"{run.Events.Count} facts are there, {facts} were acknowledged");
        ArchiveBench.AssertSameBits(Enumerable.Range(0, (int)run.Summary.ArchivedRows).Select(i => VictimRows.At(i)), archive.ReadRows(runId));
        Assert.Equal(Enumerable.Range(0, run.Events.Count).Select(VictimRows.FactAt), run.Events);
        output.WriteLine($"{runId}: acknowledged {rows} rows and {facts} facts, found {run.Summary.ArchivedRows} and {run.Events.Count}");
    }
}
