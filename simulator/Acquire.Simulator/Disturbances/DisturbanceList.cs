namespace Acquire.Simulator;

/// <summary>Questions to the disturbances of a run.</summary>
internal static class DisturbanceList
{
    /// <summary>The first of a kind that is there at a moment; null for none.</summary>
    public static Disturbance? At(this IReadOnlyList<Disturbance> all, DisturbanceKind kind, double seconds)
    {
        foreach (var one in all)
        {
            if (one.Kind == kind && one.IsAt(seconds))
            {
                return one;
            }
        }

        return null;
    }

    /// <summary>All of a kind.</summary>
    public static Disturbance[] Of(this IReadOnlyList<Disturbance> all, DisturbanceKind kind) => [.. all.Where(one => one.Kind == kind)];
}
