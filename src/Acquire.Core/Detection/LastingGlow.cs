namespace Acquire.Core.Detection;

/// <summary>Whether what is left of a pass is a flame, from a longer look than the pass itself is judged by.</summary>
/// <remarks>
/// A quarter of a second may catch a flame as it ducks, and a drift may have left as much as a small flame shows. Over some
/// seconds a flame stands and flickers; a drift does not.
/// </remarks>
internal static class LastingGlow
{
    /// <summary>Where a glow stays that is no flash, the pass is looked at again after so long, s.</summary>
    public const double AgainSeconds = 1;

    /// <summary>How often.</summary>
    public const int MostLooks = 3;

    // The test flame is gone by then, s after it left; without a signal no pass is longer than the second, s after its beginning.
    private const double AfterSeconds = 0.4;
    private const double WithoutSignalSeconds = 3;

    // A look must be so long, s.
    private const double LeastSeconds = 2;

    // What is left after the usual second and is worth another look; what a flame stands above, in idle scales, and once there
    // was a flash: above the flash point a flame needs less proof.
    private const double WorthScales = 3;
    private const double FlameScales = 8;
    private const double FlameScalesAfterFlash = 5;

    // While it burns, three quarters of the short means stand above this share of their mean.
    private const double StandsShare = 0.35;
    private const double MeanSeconds = 0.1;

    // More than so many times what passes before left.
    private const double LingerFactor = 1.5;

    /// <summary>Whether a pass without a flash has left enough to be looked at again.</summary>
    /// <param name="glow">What is left, above the baseline, detector's unit.</param>
    /// <param name="noise">Quiet detector before the pass.</param>
    public static bool IsWorthAnotherLook(double glow, IdleNoise noise) => glow > WorthScales * noise.Smooth;

    /// <summary>Whether it burns.</summary>
    /// <param name="pass">The pass.</param>
    /// <param name="history">The readings.</param>
    /// <param name="memory">Passes before.</param>
    /// <param name="now">s.</param>
    public static bool Burns(Pass pass, DetectorHistory history, PassMemory memory, double now)
    {
        var from = pass.FlameSeen ? pass.End + AfterSeconds : pass.Start + WithoutSignalSeconds;
        if (now - from < LeastSeconds)
        {
            return false;
        }

        using var room = WindowRoom.Open();
        var noise = pass.Noise;
        var raw = history.Between(from, now).WithoutSpikes(noise.White);
        if (raw.Times.Length < IdleNoise.FewestReadings)
        {
            return false;
        }

        var heights = raw.Above(noise.Baseline);
        var means = WindowRoom.Take(heights.Values.Length);
        DetectorStretch.Smooth(heights.Times, heights.Values, MeanSeconds, means);
        means.Sort();
        var (middle, low) = (means[means.Length / 2], means[means.Length / 4]);
        return middle > Math.Max((pass.AfterFlash ? FlameScalesAfterFlash : FlameScales) * noise.Smooth, LingerFactor * memory.Linger)
            && low > StandsShare * middle
            && GlowFlicker.Exceeds(GlowFlicker.Proof, heights, from, now, middle, history, pass.Start, noise);
    }
}
