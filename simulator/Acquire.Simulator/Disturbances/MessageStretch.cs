namespace Acquire.Simulator;

/// <summary>A stretch of time whose readings are lost, come twice or come in the wrong order.</summary>
/// <param name="Kind">Which of these.</param>
/// <param name="FromSeconds">Its beginning, s.</param>
/// <param name="ToSeconds">Its end, s.</param>
internal readonly record struct MessageStretch(DisturbanceKind Kind, double FromSeconds, double ToSeconds)
{
    // About what one message holds; assumed.
    private const double BriefestSeconds = 0.02, LongestSeconds = 0.4;

    private static readonly DisturbanceKind[] Kinds = [DisturbanceKind.Dropped, DisturbanceKind.Duplicated, DisturbanceKind.Reordered];

    /// <summary>The stretches of a run; those of one kind in order of time, and apart from each other.</summary>
    public static IReadOnlyList<MessageStretch> Draw(SimulatorOptions options, double endSeconds)
    {
        var drawn = new List<MessageStretch>();
        var random = new SimulatorRandom(options.Seed, RandomPurpose.Messages);
        foreach (var one in options.Disturbances.Where(one => Kinds.Contains(one.Kind)))
        {
            // A half of a stretch must hold a reading, or there is nothing to exchange.
            var briefest = one.Kind == DisturbanceKind.Reordered ? 2 * BriefestSeconds : BriefestSeconds;
            var share = one.StrengthOrUsual / 100;
            var perSecond = share / (1 - share) / ((briefest + LongestSeconds) / 2);
            for (var at = one.From + random.Wait(perSecond); at < Math.Min(one.To, endSeconds);)
            {
                var until = at + random.Between(briefest, LongestSeconds);
                drawn.Add(new(one.Kind, at, until));
                at = until + random.Wait(perSecond);
            }
        }

        return [.. drawn.OrderBy(stretch => stretch.FromSeconds)];
    }
}
