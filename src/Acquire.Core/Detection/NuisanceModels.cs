namespace Acquire.Core.Detection;

/// <summary>Keeps the models used last, for all testers: from pass to pass the same few are asked for, and each costs some hundred times its use.</summary>
/// <remarks>A model follows from its key alone, so no result depends on what is kept. Safe for many threads.</remarks>
internal static class NuisanceModels
{
    // Some 300 kB each.
    private const int Kept = 32;

    private static readonly Lock Gate = new();
    private static readonly LinkedList<(Key Key, NuisanceModel? Model)> Newest = new();
    private static readonly Dictionary<Key, LinkedListNode<(Key Key, NuisanceModel? Model)>> ByKey = [];

    private readonly record struct Key(NuisanceCourse Course, int Points, int SpacingTenthMilliseconds, int FromSteps, int ToSteps);

    /// <summary>The model for evenly spaced points; null where numbers cannot carry it.</summary>
    /// <param name="course">The nuisance.</param>
    /// <param name="points">How many points.</param>
    /// <param name="spacingSeconds">Time between them, s; rounded to 0.1 ms.</param>
    /// <param name="fromSeconds">Earliest onset after the first point, s; rounded down to 0.1 s.</param>
    /// <param name="toSeconds">Latest, s; rounded up to 0.1 s.</param>
    public static NuisanceModel? For(NuisanceCourse course, int points, double spacingSeconds, double fromSeconds, double toSeconds)
    {
        var key = new Key(course, points, (int)Math.Round(spacingSeconds * 1e4), 10 * (int)Math.Floor(fromSeconds * 10 + 1e-6), 10 * (int)Math.Ceiling(toSeconds * 10 - 1e-6));
        lock (Gate)
        {
            if (ByKey.TryGetValue(key, out var node))
            {
                Newest.Remove(node);
                Newest.AddFirst(node);
                return node.Value.Model;
            }
        }

        var made = Make(key);
        lock (Gate)
        {
            if (ByKey.TryAdd(key, Newest.AddFirst((key, made))) is false)
            {
                Newest.RemoveFirst();
            }
            else if (Newest.Count > Kept)
            {
                ByKey.Remove(Newest.Last!.Value.Key);
                Newest.RemoveLast();
            }
        }

        return made;
    }

    private static NuisanceModel? Make(Key key)
    {
        Span<double> times = stackalloc double[key.Points];
        var spacing = key.SpacingTenthMilliseconds * 1e-4;
        for (var i = 0; i < times.Length; i++)
        {
            times[i] = i * spacing;
        }

        var grid = new FlashGrid(times, spacing, key.FromSteps * FlashGrid.StepSeconds, key.ToSteps * FlashGrid.StepSeconds);
        return NuisanceModel.Of(key.Course, times, even: true, grid);
    }
}
