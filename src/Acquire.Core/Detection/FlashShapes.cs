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
    public const int Count = 7;

    /// <summary>Index of a rise, a hold of 100 ms and a fall.</summary>
    public const int Tenth = 2;

    /// <summary>Index of the shape that fades; those before it hold and fall.</summary>
    public const int Fading = 5;

    /// <summary>Index of the shape that does not fall: burning.</summary>
    public const int Burning = 6;

    // An ignition after the flame has gone.
    private const double RarityWhenLate = 5;

    /// <summary>A flash rises within so long, s.</summary>
    public const double RiseSeconds = 0.02;

    private const double FallSeconds = 0.05;
    private const double DecaySeconds = 0.25;

    // So close that a flash whose hold lies between two of them loses some 3 % of its significance, in a draught too; with 0.04, 0.1
    // and 0.22 s alone one of 80 ms lost 9 %.
    private static ReadOnlySpan<double> HoldsSeconds => [0.04, 0.07, 0.1, 0.14, 0.2];

    // How rare each is beside a blink.
    private static ReadOnlySpan<double> HoldRarities => [0, 0, 0, 1, 2];
    private const double RarityOfFadingOrBurning = 4;

    /// <summary>Holds by which the onset of a flash is fitted once it is found, s.</summary>
    public static ReadOnlySpan<double> FineHoldsSeconds => [0.02, 0.04, 0.06, 0.08, 0.1, 0.13, 0.17, 0.22];

    /// <summary>How rare an ignition is beside a blink while the flame is there, before anything has been seen: twice the logarithm of how many of those there are to one of it.</summary>
    /// <remarks>A draught passes for a slow flash more easily than for a blink. Chosen; a flash of 8 deviations of the noise brings 60 and more.</remarks>
    /// <param name="shape">Its course.</param>
    /// <param name="late">Whether the flame has gone.</param>
    public static double Rarity(int shape, bool late) => (shape < Fading ? HoldRarities[shape] : RarityOfFadingOrBurning) + (late ? RarityWhenLate : 0);

    /// <summary>How long after the onset a shape still differs from zero, s.</summary>
    public static double SupportSeconds(int shape, double spacing) => shape switch
    {
        Fading => 4 * DecaySeconds,
        Burning => double.PositiveInfinity,
        _ => LitSeconds(Hold(shape, spacing)),
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

        if (shape == Fading)
        {
            return rise * Math.Exp(-Math.Max(0, after - RiseSeconds) / DecaySeconds);
        }

        return Trapezoid(after, Hold(shape, spacing));
    }

    /// <summary>What is left of the shape that fades after a while, as a share.</summary>
    /// <param name="seconds">The while, s.</param>
    public static double FadingLeft(double seconds) => Math.Exp(-seconds / DecaySeconds);

    /// <summary>A rise, a hold and a fall, at a time after the onset, 0 to 1.</summary>
    public static double Trapezoid(double after, double hold)
    {
        var fall = after - RiseSeconds - hold;
        return after < 0 ? 0 : fall <= 0 ? Math.Min(1, after / RiseSeconds) : Math.Max(0, 1 - (fall / FallSeconds));
    }

    /// <summary>How long such a flash lasts, s.</summary>
    public static double LitSeconds(double hold) => hold + RiseSeconds + FallSeconds;

    /// <summary>Whether a shape is the same as the one before it, which is no rarer, because neither is shorter than a reading.</summary>
    /// <param name="shape">Which shape.</param>
    /// <param name="spacing">Time between readings, s.</param>
    public static bool IsDouble(int shape, double spacing) => shape is > 0 and < Fading && HoldsSeconds[shape] <= spacing;

    /// <summary>A shape, or the first of those that are the same where readings come slowly: the one of them that is looked for.</summary>
    /// <param name="shape">Which shape.</param>
    /// <param name="spacing">Time between readings, s.</param>
    public static int FirstLike(int shape, double spacing) => IsDouble(shape, spacing) ? FirstLike(shape - 1, spacing) : shape;

    private static double Hold(int shape, double spacing) => Math.Max(spacing, HoldsSeconds[shape]);
}
