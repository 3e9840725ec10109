namespace Acquire.Benchmarks.Campaigns.Detection;

/// <summary>Everything that the report tells of.</summary>
/// <param name="Options">What was asked.</param>
/// <param name="Scenes">Made-up scenes.</param>
/// <param name="Runs">Whole runs, for each set of seeds; empty where they were not asked for.</param>
/// <param name="Beside">Whole runs beside the design scene.</param>
/// <param name="Forbidden">Runs in which no right answer can be expected.</param>
internal sealed record Campaign(
    ReportOptions Options,
    IReadOnlyList<SceneResult> Scenes,
    IReadOnlyList<RunResults> Runs,
    IReadOnlyList<RunResults> Beside,
    IReadOnlyList<(ForbiddenRow Row, SeedSet Set, ForbiddenTally Tally)> Forbidden)
{
    /// <summary>What `--only` calls the whole runs at the design scene.</summary>
    public const string RunsName = "whole runs";

    // The same for those beside it, and those with no right answer.
    private const string BesideName = "beside", ForbiddenName = "forbidden";

    // Of each row beside the design scene, and of each with no right answer, one run in so many.
    private const int BesideShare = 15, ForbiddenShare = 30;

    /// <summary>Plays all that is asked for.</summary>
    public static Campaign Play(ReportOptions options) => new(
        options,
        [.. SceneRows.All.Where(row => options.Wants(row.Name)).Select(row => SceneResult.Play(row, options))],
        options.Wants(RunsName) ? [.. options.Sets.Select(set => RunResults.Play(set, options.RunsOf(set), RunsName, RunRows.Run))] : [],
        options.Wants(BesideName) ? [.. options.Sets.Select(set => RunResults.Play(set, options.RunsOf(set) / BesideShare * RunRows.Beside.Count, BesideName, RunRows.RunBeside))] : [],
        [.. options.Wants(ForbiddenName) ? PlayForbidden(options) : []]);

    private static IEnumerable<(ForbiddenRow Row, SeedSet Set, ForbiddenTally Tally)> PlayForbidden(ReportOptions options) =>
        from row in ForbiddenRows.All
        from set in options.Sets
        let runs = Math.Max(1, options.RunsOf(set) / ForbiddenShare)
        select (row, set, ForbiddenTally.Play(row, set.First, runs, new Progress($"{row.Name}, {set.Name} seeds", runs).Step));
}
