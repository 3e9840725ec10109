namespace Acquire.Core.Detection;

/// <summary>Flashes of one shape whose onsets lie one spacing of the points apart, so that all have the same values at the points.</summary>
/// <param name="Shape">Which of the <see cref="FlashShapes"/>.</param>
/// <param name="Values">Values at the points from the onset on; behind them 1 to the end where it burns, 0 where not.</param>
/// <param name="First">Point at which the values of the first of them begin.</param>
/// <param name="Count">How many there are.</param>
/// <param name="OnsetSeconds">Onset of the first after the first point of the window, s.</param>
/// <param name="Norms">Square of each at height 1 in units of noise and nuisance; 0 behind the last, up to the slack.</param>
internal sealed record FlashGroup(int Shape, double[] Values, int First, int Count, double OnsetSeconds, double[] Norms)
{
    // Beside its values: itself and the heads of its two arrays.
    private const int OwnSize = 15;

    /// <summary>What it takes of the memory, in numbers of 8 bytes.</summary>
    public int Size => Values.Length + Norms.Length + Parts.Size + OwnSize;

    /// <summary>The values, taken apart.</summary>
    public required FlashParts Parts { get; init; }

    /// <summary>Whether it burns on.</summary>
    public bool Burns => Shape == FlashShapes.Burning;

    /// <summary>The groups of a window whose points are so many steps of the grid of onsets apart.</summary>
    /// <param name="points">Points of the window.</param>
    /// <param name="steps">Steps of <see cref="FlashGrid.StepSeconds"/> between them.</param>
    /// <param name="fromStep">Earliest onset, steps after the first point; 0 or later.</param>
    /// <param name="toStep">Latest.</param>
    public static IEnumerable<FlashGroup> All(int points, int steps, int fromStep, int toStep)
    {
        var spacing = steps * FlashGrid.StepSeconds;
        for (var shape = 0; shape < FlashShapes.Count; shape++)
        {
            if (FlashShapes.IsDouble(shape, spacing))
            {
                continue;
            }

            // A burn needs to be seen for a while after its onset.
            var seen = shape == FlashShapes.Burning ? (int)Math.Round(FlashGrid.LeastSeenSeconds / FlashGrid.StepSeconds) : 0;
            var last = Math.Min(toStep, ((points - 1) * steps) - seen);
            for (var before = 0; before < steps; before++)
            {
                var first = (fromStep + before + steps - 1) / steps;
                var count = ((last + before) / steps) - first + 1;
                if (count > 0)
                {
                    var values = Course(shape, before * FlashGrid.StepSeconds, spacing);
                    yield return new(shape, values, first, count, ((first * steps) - before) * FlashGrid.StepSeconds, new double[count + Sliding.Slack]) { Parts = FlashParts.Of(shape, values, spacing) };
                }
            }
        }
    }

    private static double[] Course(int shape, double after, double spacing)
    {
        const double rounding = 1e-9;
        var values = new List<double>();
        for (var time = after; time < FlashShapes.SupportSeconds(shape, spacing) - rounding; time += spacing)
        {
            var value = FlashShapes.At(shape, time, spacing);
            if (shape == FlashShapes.Burning && value >= 1 - rounding)
            {
                break;
            }

            values.Add(value);
        }

        return [.. values];
    }
}
