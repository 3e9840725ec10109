namespace Acquire.Core.Detection;

/// <summary>Time courses that a flash may have in a detector, as multiples of its height.</summary>
/// <remarks>
/// A flame front crosses a cup of some 63 mm in roughly 60 to 200 ms (flame speeds of 0.3 to 1 m/s, common practice, no
/// source); a slow detector stretches the fall, and a specimen that goes on burning has no fall at all. The rise is fast in
/// every case, and that is what tells a flash from the halo.
/// </remarks>
internal static class FlashShapes
{
    /// <summary>Number of shapes.</summary>
    public const int Count = 5;

    /// <summary>Index of the shape that does not fall: burning.</summary>
    public const int Burning = 4;

    private const double RiseSeconds = 0.02;
    private const double FallSeconds = 0.05;
    private const double DecaySeconds = 0.25;

    /// <summary>How long after the onset a shape still differs from zero, s.</summary>
    public static double SupportSeconds(int shape, double spacing) => shape switch
    {
        3 => 4 * DecaySeconds,
        Burning => double.PositiveInfinity,
        _ => Hold(shape, spacing) + RiseSeconds + FallSeconds,
    };

    /// <summary>Value of a shape at a time after its onset, 0 to 1.</summary>
    /// <param name="shape">Which shape.</param>
    /// <param name="after">Time after the onset, s.</param>
    /// <param name="spacing">Time between readings, s: no shape is shorter than what one reading can see.</param>
    public static double At(int shape, double after, double spacing)
    {
        if (after < 0)
        {
            return 0;
        }

        var rise = Math.Min(1, after / RiseSeconds);
        if (shape == Burning)
        {
            return rise;
        }

        if (shape == 3)
        {
            return rise * Math.Exp(-Math.Max(0, after - RiseSeconds) / DecaySeconds);
        }

        var fall = after - RiseSeconds - Hold(shape, spacing);
        return fall <= 0 ? rise : Math.Max(0, 1 - (fall / FallSeconds));
    }

    private static double Hold(int shape, double spacing) => Math.Max(spacing, shape switch { 0 => 0.04, 1 => 0.1, _ => 0.22 });
}
