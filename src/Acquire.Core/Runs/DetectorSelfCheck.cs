using Acquire.Core.Detection;
using Acquire.Core.Results;

namespace Acquire.Core.Runs;

/// <summary>Whether the detector could tell a flash, at its rate and noise. A guided run has no such check: a person judges.</summary>
internal static class DetectorSelfCheck
{
    /// <summary>States what speaks against the detector, once, when all quiet up to the flash is known; till then the status tells it.</summary>
    public static void Finish(in Bench bench)
    {
        var s = bench.State;
        if (s.Series.AtEnd is { } end)
        {
            bench.Find(FindingCodes.DetectorAtEnd, FindingWeight.Doubtful, end.AtSeconds, end.Celsius, s.Series.AtEndCount, 0,
                $"At {(s.Series.AtEndCount == 1 ? "one application" : FormattableString.Invariant($"{s.Series.AtEndCount} applications"))} before a flash was told, first at {Text.Celsius(end.Celsius)}, the detector stood at the end of its range. A flash on top of that cannot be seen. Lower its gain, or shade it from the test flame.");
        }

        DetectorGap.Finish(bench);

        // A detector that never moved is dead, and told as that.
        if (s.Watch is not { EverMoved: true, Check: { Trust: not DetectorTrust.Good } check })
        {
            return;
        }

        var weight = check.Trust == DetectorTrust.None ? FindingWeight.Doubtful : FindingWeight.Note;
        var told = check.Trust == DetectorTrust.None ? "What the detector says cannot be trusted." : "What the detector says can be trusted within limits.";
        bench.Find(FindingCodes.DetectorNotTrusted, weight, s.AtSeconds, s.TemperatureCelsius, check.ReadingsPerSecond, null,
            $"{told} {string.Join(' ', check.Reasons.Select(reason => reason.Text))}");
    }
}
