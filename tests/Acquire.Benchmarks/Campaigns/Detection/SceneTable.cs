using Acquire.Benchmarks.Campaigns.Flash;

namespace Acquire.Benchmarks.Campaigns.Detection;

/// <summary>The table of made-up scenes.</summary>
internal static class SceneTable
{
    public static IEnumerable<string> Write(IReadOnlyList<SceneResult> results)
    {
        yield return Figures.Head("scene", "seeds", "passes without a flash", "false flashes", "flashes", "missed", "onset off by, ms: half / 95 % / all within", "least that any detector misses", "asked for");
        foreach (var result in results)
        {
            foreach (var (set, tally) in result.Played)
            {
                yield return Figures.Row(
                    result.Row.Name,
                    set.Name,
                    $"{tally.BarePasses}",
                    Figures.Count(tally.False, tally.BarePasses),
                    $"{tally.Flashes}",
                    Figures.Count(tally.Missed, tally.Flashes),
                    Figures.Spread(tally.OnsetErrors),
                    Figures.Percent(Least(result, tally)),
                    Goal(result.Row.Goal, tally));
            }
        }
    }

    /// <summary>Whether what is asked of a row is reached; null where nothing is.</summary>
    public static bool? Held(SceneRow row, SceneTally tally) => row.Goal is null ? null : Parts(row.Goal, tally).All(part => part.Held);

    private static double Least(SceneResult result, SceneTally tally) =>
        tally.BarePasses == 0 ? double.NaN : result.Bound.Missed(tally.False > 0 ? (double)tally.False / tally.BarePasses : Binomial.Upper(0, tally.BarePasses));

    private static string Goal(SceneGoal? goal, SceneTally tally) => goal is null ? "" : string.Join(", ", Parts(goal, tally).Select(part => part.Words + (part.Held ? ": held" : ": **not held**")));

    private static IEnumerable<(string Words, bool Held)> Parts(SceneGoal goal, SceneTally tally)
    {
        if (goal.FalseRate is { } falseRate)
        {
            yield return ($"false at most {Figures.Percent(falseRate)}", tally.False <= falseRate * tally.BarePasses);
        }

        if (goal.MissedRate is { } missed)
        {
            yield return ($"missed at most {Figures.Percent(missed)}", tally.Missed <= missed * tally.Flashes);
        }

        if (goal.OnsetMilliseconds is { } onset)
        {
            yield return (FormattableString.Invariant($"95 % within {onset} ms"), SceneTally.Quantile(tally.OnsetErrors, 0.95) <= onset);
        }
    }
}
