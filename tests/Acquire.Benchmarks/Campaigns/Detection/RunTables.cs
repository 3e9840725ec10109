using Acquire.Benchmarks.Campaigns.Flash;

namespace Acquire.Benchmarks.Campaigns.Detection;

/// <summary>The tables of whole runs.</summary>
internal static class RunTables
{
    private static readonly string[] Columns =
    [
        "seeds", "runs", "flash not recorded (said)", "passes without a flash", "false", "missed", "right application",
        "onset off by, ms, at 50 rows a second: half / 95 % / all within", "at 200", "fire points", "not within 0.5 s", "fire onset off by, s: half / 95 % / all within",
    ];

    /// <summary>One line for each group and set of seeds, and the sum.</summary>
    /// <param name="first">Name of the first column.</param>
    /// <param name="groups">Names, and what belongs to them.</param>
    /// <param name="sets">The runs.</param>
    public static IEnumerable<string> Write(string first, IEnumerable<(string Name, Func<RunRow, RunOutcome, bool> Which)> groups, IReadOnlyList<RunResults> sets)
    {
        yield return Figures.Head([first, .. Columns]);
        foreach (var (name, which) in groups)
        {
            foreach (var set in sets)
            {
                yield return Line(name, set.Set.Name, set.Tally(which));
            }
        }
    }

    /// <summary>What was asked, and whether it is so: of testers with two detectors, as the design scene has them. What one alone reaches stands beside it.</summary>
    public static IEnumerable<string> Goals(IReadOnlyList<RunResults> sets)
    {
        yield return Figures.Head("asked for, of whole runs with two detectors", "seeds", "reached", "", "with one detector");
        foreach (var set in sets)
        {
            foreach (var line in Goals(set.Set.Name, set.Tally((_, one) => one.Options.TwoDetectors), set.Tally((_, one) => !one.Options.TwoDetectors)))
            {
                yield return line;
            }
        }
    }

    /// <summary>The two kinds of testers.</summary>
    public static IReadOnlyList<(string Name, Func<RunRow, RunOutcome, bool> Which)> Testers { get; } =
    [
        ("two detectors", (_, one) => one.Options.TwoDetectors),
        ("one detector", (_, one) => !one.Options.TwoDetectors),
    ];

    private static IEnumerable<string> Goals(string set, RunTally two, RunTally one)
    {
        string Goal(string name, Func<RunTally, string> reached, bool held) => Figures.Row(name, set, reached(two), held ? "held" : "**not held**", reached(one));

        // Two of 10,000 that were played, whatever the size of the campaign.
        var few = 2.0 / 10_000 * two.Runs;
        yield return Goal("missed flashes: at most 2 of 10,000", tally => Figures.Count(tally.Missed, tally.Judged), two.Missed <= few);
        yield return Goal("runs with a false flash: at most 2 of 10,000", tally => Figures.Count(tally.False, tally.Judged), two.False <= few);
        yield return Goal("right application: at least 99.95 %", tally => Figures.Right(tally.Right, tally.Judged), two.Right >= 0.9995 * two.Judged);
        yield return Goal("onset at 50 rows a second: 95 % within 10 ms", tally => Figures.Number(Most(tally.Onsets50)) + " ms", Most(two.Onsets50) <= 10);
        yield return Goal("onset at 200 rows a second: 95 % within 5 ms", tally => Figures.Number(Most(tally.Onsets200)) + " ms", Most(two.Onsets200) <= 5);
        yield return Goal("fire onset: 95 % within 0.5 s", tally => $"{Figures.Number(Most(tally.Fires))} s; {tally.Fires.Count - tally.WrongFires} of {tally.Fires.Count} within 0.5 s", Most(two.Fires) <= 0.5);
    }

    private static double Most(List<double> growing) => SceneTally.Quantile(growing, 0.95);

    /// <summary>What must be said where no right answer can be.</summary>
    public static IEnumerable<string> Forbidden(IReadOnlyList<(ForbiddenRow Row, SeedSet Set, ForbiddenTally Tally)> rows)
    {
        yield return Figures.Head("disturbance", "what must be concluded", "seeds", "runs", "concluded", "a wrong figure called valid", "valid / doubtful / invalid");
        foreach (var (row, set, tally) in rows)
        {
            yield return Figures.Row(row.Name, row.Words, set.Name, $"{tally.Runs}", $"{tally.AsExpected}", $"{tally.WrongAndValid}", string.Join(" / ", tally.Verdicts));
        }
    }

    private static string Line(string name, string set, RunTally tally) => Figures.Row(
        name,
        set,
        $"{tally.Runs}",
        $"{tally.NotRecorded} ({tally.NotRecordedSaid})",
        $"{tally.BarePasses}",
        Figures.Count(tally.False, tally.Judged),
        Figures.Count(tally.Missed, tally.Judged),
        Figures.Right(tally.Right, tally.Judged),
        Figures.Spread(tally.Onsets50),
        Figures.Spread(tally.Onsets200),
        $"{tally.Fires.Count}",
        $"{tally.WrongFires}",
        Figures.Spread(tally.Fires));
}
