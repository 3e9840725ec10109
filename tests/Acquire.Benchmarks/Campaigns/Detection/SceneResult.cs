using Acquire.Benchmarks.Campaigns.Flash;

namespace Acquire.Benchmarks.Campaigns.Detection;

/// <summary>A row of scenes as it was judged, for each set of seeds, and the bound.</summary>
internal sealed record SceneResult(SceneRow Row, NeymanPearson Bound, IReadOnlyList<(SeedSet Set, SceneTally Tally)> Played)
{
    /// <summary>Plays a row.</summary>
    public static SceneResult Play(SceneRow row, ReportOptions options)
    {
        var bound = NeymanPearson.Of(row.Options);
        var played = new List<(SeedSet, SceneTally)>();
        foreach (var set in options.Sets)
        {
            var scenes = options.ScenesOf(set, row);
            played.Add((set, SceneTally.Play(row.Options, set.First, scenes, new Progress($"{row.Name}, {set.Name} seeds", scenes).Step)));
        }

        return new(row, bound, played);
    }

    /// <summary>The counts of a set of seeds.</summary>
    public SceneTally Tally(string set) => Played.First(one => one.Set.Name == set).Tally;
}
