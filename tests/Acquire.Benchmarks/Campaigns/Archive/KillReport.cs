using System.Diagnostics;
using System.Globalization;
using Acquire.ArchiveVictim;

namespace Acquire.Benchmarks.Campaigns.Archive;

/// <summary>Kills a process with live load again and again, at random moments, and holds its archive each time against what it had acknowledged.</summary>
internal static class KillReport
{
    private const int UsualRounds = 200;
    private const int Testers = 4;
    private const int Seed = 20_261_126;

    // Most lives end so long after they first acknowledged something, ms; one in so many at a moment of its start.
    private const int LongestLifeMilliseconds = 800;
    private const int LongestStartMilliseconds = 1_500;
    private const int OneInStarts = 8;

    /// <summary>Plays the rounds; the first word may be how many. Figures of at least the usual number are written to docs/archive-faults.md.</summary>
    /// <returns>0 where nothing was lost and every archive was sound, 1 otherwise.</returns>
    public static async Task<int> RunAsync(string[] args)
    {
        var rounds = args is [var text, ..] ? int.Parse(text, CultureInfo.InvariantCulture) : UsualRounds;
        var folder = Directory.CreateTempSubdirectory("acquire-kills-").FullName;
        try
        {
            return await RunAsync(rounds, Path.Combine(folder, "runs.db")).ConfigureAwait(false);
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    private static async Task<int> RunAsync(int rounds, string path)
    {
        var (random, acknowledged, watch) = (new Random(Seed), new Acknowledged(), Stopwatch.StartNew());
        var (epoch, silent, faults, look) = (TimeProvider.System.GetUtcNow(), 0, 0, new LiveCheck.Look([], 0, 0, 0, []));
        for (var round = 1; round <= rounds; round++)
        {
            var before = Sum(acknowledged);
            var victim = VictimProcess.Start(path, epoch, Testers, acknowledged);
            await using (victim.ConfigureAwait(false))
            {
                var early = round % OneInStarts == 0;
                await (early ? Task.CompletedTask : victim.Speaks).ConfigureAwait(false);
                await Task.Delay(TimeSpan.FromMilliseconds(random.Next(1, early ? LongestStartMilliseconds : LongestLifeMilliseconds)), TimeProvider.System).ConfigureAwait(false);
                await victim.KillAsync().ConfigureAwait(false);
            }

            silent += Sum(acknowledged) == before ? 1 : 0;
            look = File.Exists(path) ? await LiveCheck.LookAsync(path, acknowledged).ConfigureAwait(false) : look;
            faults += look.Wrong.Count;
            foreach (var fault in look.Wrong)
            {
                Console.Error.WriteLine($"round {round}: {fault}");
            }
        }

        foreach (var why in look.Interrupted)
        {
            Console.Error.WriteLine(why);
        }

        var report = Text(rounds, silent, acknowledged, look, faults, watch.Elapsed);
        Console.Write(report);
        if (rounds >= UsualRounds && faults == 0)
        {
            DocumentFigures.Replace("docs/archive-faults.md", "archive kills", report);
        }

        return faults == 0 ? 0 : 1;
    }

    private static long Sum(Acknowledged acknowledged) => acknowledged.Runs.Values.Sum(run => run.Rows + run.Facts);

    private static string Text(int rounds, int silent, Acknowledged acknowledged, LiveCheck.Look look, int faults, TimeSpan took)
    {
        var runs = acknowledged.Runs.Values;
        return string.Create(CultureInfo.InvariantCulture, $"""
            {rounds} rounds over one archive, seed {Seed}, {took.TotalSeconds:0} s. Each life ended 1 to {LongestLifeMilliseconds} ms after it had first acknowledged something, one in {OneInStarts} at 1 to {LongestStartMilliseconds} ms of its start: {silent} acknowledged nothing. {Testers} testers at {LiveRows.PerSecond} rows a second.

            | | acknowledged | found |
            | --- | --- | --- |
            | runs | {runs.Count():#,0} | {runs.Count():#,0} |
            | rows | {runs.Sum(run => run.Rows):#,0} | {look.Rows:#,0} |
            | facts | {runs.Sum(run => run.Facts):#,0} | {look.Facts:#,0} |
            | observations | {runs.Sum(run => run.Seen):#,0} | not fewer in any run |
            | runs closed by a person | {runs.Count(run => run.Closed):#,0} | all |

            Runs that were open at a kill went on {look.TakenUp:#,0} times with the next start; {look.Interrupted.Count} could not go on.

            Lost, altered or out of place, or a verification that was not sound: {faults}.

            """);
    }
}
