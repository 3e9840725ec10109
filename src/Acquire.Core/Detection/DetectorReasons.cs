using System.Globalization;

namespace Acquire.Core.Detection;

/// <summary>What speaks against a detector, in sentences for whoever works with it.</summary>
internal static class DetectorReasons
{
    // Readings at 20 a second lie 50 ms apart, to the rounding of their times.
    private const double SpacingTolerance = 1.01;

    // A few wild readings in a minute of quiet; the windows of some ten passes last 20 s, so that half a one in a minute
    // falls into them in one run of six.
    private const int FewWild = 3;
    private const double QuietForWildSeconds = 60;
    private const double WildPerMinute = 0.5;

    // One hole in the record is a data gap and told as one. A part of the quiet that lies in gaps is the part of the flashes that may.
    private const int FewGaps = 3;
    private const double SomeGaps = 0.01;
    private const double ManyGaps = 0.1;

    // As in PassSight: what is called a flash in a detector of which nothing is known.
    private const double FlashOverPass = PassSight.FlashOverPass;

    public static IReadOnlyList<DetectorReason> Against(DetectorCheck check, double spacing, int gaps, double gapShare, double? peak)
    {
        var reasons = new List<DetectorReason>();
        if (spacing > DetectorStretch.LongestSpacingForSpikesSeconds * SpacingTolerance)
        {
            reasons.Add(Slow(check));
        }

        if (gaps >= FewGaps && gapShare >= SomeGaps)
        {
            reasons.Add(new(DetectorReasonCodes.ReadingsWithGaps, gapShare >= ManyGaps ? DetectorTrust.None : DetectorTrust.Limited,
                $"Between readings of the detector there are gaps of up to {Text.Seconds(check.LongestGapSeconds)}, in which a flash is not seen: {Text.Percent(gapShare)} of the quiet. Mend the wire or the network, and send 50 readings a second or more."));
        }

        if (peak is { } shown && check.LeastFlash > FlashOverPass * shown)
        {
            reasons.Add(new(DetectorReasonCodes.FlashLostInNoise, DetectorTrust.Limited,
                $"A flash needs a height of {Figure(check.LeastFlash.Value)} to be told, and the passes of the test flame show {Figure(shown)} at most: one half as high again as a pass may be lost in the noise. Clean the detector and see that it looks into the cup, or look at the cup yourself."));
        }

        return reasons;
    }

    /// <summary>A detector that has shown one value so far.</summary>
    public static DetectorReason Still { get; } = new(DetectorReasonCodes.DetectorStill, DetectorTrust.None,
        "The detector has shown one value so far. See that it moves when the test flame passes; else check its supply and its wire.");

    private static DetectorReason Slow(DetectorCheck check) =>
        check.WildReadings >= FewWild && check.QuietSeconds >= QuietForWildSeconds && check.WildPerMinute >= WildPerMinute
            ? new(DetectorReasonCodes.WildReadings, DetectorTrust.None,
                $"{Figure(check.ReadingsPerSecond)} readings a second are too few to tell a wild one from a flash, and {check.WildReadings} wild ones came in {Text.Seconds(check.QuietSeconds)} of quiet: a false flash is likely within a run. Mend the detector's wiring and its screen, send 50 readings a second or more, or make the run guided and look at the cup yourself.")
            : new(DetectorReasonCodes.ReadingsTooSlow, DetectorTrust.Limited,
                $"{Figure(check.ReadingsPerSecond)} readings a second are too few: a single wild one cannot be told from a flash. Send 50 readings a second or more.");

    /// <summary>A figure in the detector's own unit, of which neither size nor decimals are known.</summary>
    public static string Figure(double value) => value.ToString("G2", CultureInfo.InvariantCulture) is var text && text.Contains('E', StringComparison.Ordinal)
        ? value.ToString(Math.Abs(value) >= 1 ? "0" : "G2", CultureInfo.InvariantCulture)
        : text;
}
