using System.Diagnostics;
using System.Globalization;
using System.Text;
using Acquire.ArchiveVictim;

namespace Acquire.Benchmarks.Campaigns.Archive;

/// <summary>Takes copies of an archive under live load at random moments, spoils what was not flushed as a power cut may, and holds each against what had been acknowledged before.</summary>
internal static class PowerReport
{
    private const int UsualRounds = 100;
    private const int Testers = 4;
    private const int Seed = 20_261_127;

    // The victim is started anew after so many rounds: the archive stays small, and starts are among what is cut.
    private const int RoundsOfALife = 10;

    /// <summary>Plays the rounds, four images each; the first word may be how many. Figures of at least the usual number are written to docs/archive-faults.md.</summary>
    /// <returns>0 where nothing was lost and every archive was sound, 1 otherwise.</returns>
    public static async Task<int> RunAsync(string[] args)
    {
        var rounds = args is [var text, ..] ? int.Parse(text, CultureInfo.InvariantCulture) : UsualRounds;
        var folder = Directory.CreateTempSubdirectory("acquire-power-").FullName;
        var (random, watch, tallies) = (new Random(Seed), Stopwatch.StartNew(), PowerCut.Kinds.Select(_ => new Tally()).ToArray());
        try
        {
            for (var round = 0; round < rounds; round += RoundsOfALife)
            {
                await LifeAsync(Path.Combine(folder, $"life-{round}"), Math.Min(RoundsOfALife, rounds - round), tallies, random).ConfigureAwait(false);
            }
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }

        var report = Text(rounds, tallies, watch.Elapsed);
        Console.Write(report);
        if (rounds >= UsualRounds && tallies.All(tally => tally.Faults == 0))
        {
            DocumentFigures.Replace("docs/archive-faults.md", "archive power cuts", report);
        }

        return tallies.Sum(tally => tally.Faults) == 0 ? 0 : 1;
    }

    private static async Task LifeAsync(string folder, int rounds, Tally[] tallies, Random random)
    {
        Directory.CreateDirectory(folder);
        var (path, acknowledged) = (Path.Combine(folder, "runs.db"), new Acknowledged());
        var victim = VictimProcess.Start(path, TimeProvider.System.GetUtcNow(), Testers, acknowledged);
        await using (victim.ConfigureAwait(false))
        {
            while (victim.Now().Head is null)
            {
                await PauseAsync(10).ConfigureAwait(false);
            }

            for (var round = 0; round < rounds; round++)
            {
                await PauseAsync(random.Next(50, 400)).ConfigureAwait(false);
                var must = victim.Now();
                var before = Frozen(victim, path);
                await PauseAsync(random.Next(0, 120)).ConfigureAwait(false);
                var after = Frozen(victim, path);
                for (var kind = 0; kind < tallies.Length; kind++)
                {
                    await CutAsync(Path.Combine(folder, $"cut-{round}-{kind}"), kind, before, after, must, tallies[kind], random).ConfigureAwait(false);
                }
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

    private static async Task CutAsync(string folder, int kind, ArchiveImage before, ArchiveImage after, Acknowledged must, Tally tally, Random random)
    {
        Directory.CreateDirectory(folder);
        var path = Path.Combine(folder, "runs.db");
        var (image, lost) = PowerCut.Make(kind, before, after, random);
        image.Write(path);
        IReadOnlyList<string> wrong;
        try
        {
            var look = await LiveCheck.LookAsync(path, must).ConfigureAwait(false);
            wrong = look.Wrong;
        }
        catch (Service.Archive.ArchiveRefusedException refusal)
        {
            wrong = [refusal.Message];
        }

        tally.Take(must, lost, wrong.Count);
        foreach (var fault in wrong)
        {
            Console.Error.WriteLine($"{PowerCut.Kinds[kind]}: {fault}");
        }

        Directory.Delete(folder, recursive: true);
    }

    private static Task PauseAsync(int milliseconds) => Task.Delay(TimeSpan.FromMilliseconds(milliseconds), TimeProvider.System);

    private static string Text(int rounds, Tally[] tallies, TimeSpan took)
    {
        var text = new StringBuilder();
        text.AppendLine(CultureInfo.InvariantCulture, $"{rounds} moments, four images each, seed {Seed}, {took.TotalSeconds:0} s.");
        text.AppendLine();
        text.AppendLine("| image | how many | rows that had to be there | facts that had to be there | KiB at the end of the log cut or spoilt | lost, or not sound |");
        text.AppendLine("| --- | --- | --- | --- | --- | --- |");
        foreach (var (name, tally) in PowerCut.Kinds.Zip(tallies))
        {
            text.AppendLine(CultureInfo.InvariantCulture, $"| {name} | {tally.Images} | {tally.Rows:#,0} | {tally.Facts:#,0} | {tally.Lost / 1024:#,0} | {tally.Faults} |");
        }

        return text.ToString();
    }

    private sealed class Tally
    {
        public int Images { get; private set; }

        public long Rows { get; private set; }

        public long Facts { get; private set; }

        public long Lost { get; private set; }

        public int Faults { get; private set; }

        public void Take(Acknowledged must, long lost, int faults)
        {
            Images++;
            Rows += must.Runs.Values.Sum(run => run.Rows);
            Facts += must.Runs.Values.Sum(run => run.Facts);
            Lost += lost;
            Faults += faults;
        }
    }
}
