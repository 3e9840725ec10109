using System.Text.Json.Serialization;

namespace Acquire.Core.Detection;

/// <content>What a second detector of the same tester showed.</content>
public sealed partial class DetectorWatch
{
    // Made with its first reading: most testers have none, and its memory is in every snapshot.
    [JsonInclude]
    private SecondDetector? _second;

    /// <summary>The one value that the second detector has shown all along, its own unit; null where there is no second one, or it has moved.</summary>
    internal double? SecondStillAt => _second?.StillAt;

    /// <summary>Takes in a reading of the second detector; before that of the first, where both were made at the same time.</summary>
    /// <param name="seconds">Time, s; later than the one before.</param>
    /// <param name="value">The second detector's own unit; finite.</param>
    internal void AddSecond(double seconds, double value) => (_second ??= new()).Add(seconds, value);
}
