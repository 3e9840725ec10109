namespace Acquire.Core.Detection;

/// <summary>Stable codes of what speaks against a detector.</summary>
public static class DetectorReasonCodes
{
    /// <summary>Readings lie so far apart that a single wild one cannot be told from a flash.</summary>
    public const string ReadingsTooSlow = "readings-too-slow";

    /// <summary>They do, and wild ones were seen in the quiet.</summary>
    public const string WildReadings = "wild-readings";

    /// <summary>Again and again the time between two readings is so long that a blink fits in between.</summary>
    public const string ReadingsWithGaps = "readings-with-gaps";

    /// <summary>A flash half as high again as a pass of the test flame may be lost in the noise.</summary>
    public const string FlashLostInNoise = "flash-lost-in-noise";

    /// <summary>The detector has shown one value all along.</summary>
    public const string DetectorStill = "detector-still";
}
