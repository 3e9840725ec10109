using System.Collections.Concurrent;

namespace Acquire.Core.Detection;

/// <summary>The least flash that <see cref="FlashTest"/> tells, from noise and rate alone: before any flash, and before any pass.</summary>
/// <remarks>A flash with a hold of 100 ms in the middle of a pass of one second, beside a slow part of unknown course; of the ways its onset may fall between two readings the worst.</remarks>
internal static class LeastFlash
{
    // In 98 of 100 cases noise takes less than so many deviations off a height.
    private const double Power = 2;

    private const double PassSeconds = 1;
    private const double MiddleSeconds = 1.5;
    private const double SlowSeconds = 0.2;

    // What was asked is asked again, of this detector and of others; it follows from the rounded figures alone.
    private const int Kept = 512;

    private static readonly ConcurrentDictionary<(NuisanceCourse Course, int Points, int SpacingTenthMilliseconds), double?> Known = new();

    /// <summary>Its height, in the unit of the noise; null where the readings are too few, or no numbers can carry it.</summary>
    /// <param name="noise">Noise of a reading.</param>
    /// <param name="spacingSeconds">Time between readings, s; above 0.</param>
    /// <param name="leastNoise">Deviation that the part of the noise without memory is not below.</param>
    /// <param name="slowHeight">Largest height of what is slow.</param>
    public static double? Of(NoiseSpectrum noise, double spacingSeconds, double leastNoise, double slowHeight)
    {
        var readings = Math.Max(1, (int)Math.Ceiling((WindowPoints.UsualSeconds / spacingSeconds) - 1e-6));
        var spacing = readings * spacingSeconds;
        var points = WindowPoints.Rounded((int)Math.Min(WindowPoints.Most, (PassJudge.LeadSeconds + PassSeconds + PassJudge.TailSeconds) / spacing));
        if (points < IdleNoise.FewestReadings || !(slowHeight > 0))
        {
            return null;
        }

        var (course, unit) = NuisanceCourse.Of(noise, readings, leastNoise, slowHeight, spacing);
        var asked = (course with { SlowSeconds = SlowSeconds }, points, (int)Math.Round(spacing * 1e4));
        if (!Known.TryGetValue(asked, out var uncertainty))
        {
            if (Known.Count >= Kept)
            {
                Known.Clear();
            }

            Known[asked] = uncertainty = Uncertainty(asked.Item1, points, asked.Item3 * 1e-4);
        }

        var height = (SuddenPart.SuddenDeviations + Power) * uncertainty * unit;
        return height is { } told && double.IsFinite(told) ? told : null;
    }

    // Standard uncertainty of the height, in units of the noise.
    private static double? Uncertainty(NuisanceCourse course, int points, double spacing)
    {
        var times = new double[points];
        for (var i = 0; i < points; i++)
        {
            times[i] = i * spacing;
        }

        var grid = new FlashGrid(times, spacing, MiddleSeconds, MiddleSeconds + spacing);
        if (NuisanceModel.Of(course, times, even: true, grid) is not { } model)
        {
            return null;
        }

        var (least, tenth) = (double.PositiveInfinity, FlashShapes.FirstLike(FlashShapes.Tenth, spacing));
        for (var k = 0; k < grid.Count; k++)
        {
            least = grid[k].Shape == tenth ? Math.Min(least, model.Norms[k]) : least;
        }

        return 1 / Math.Sqrt(least);
    }
}
