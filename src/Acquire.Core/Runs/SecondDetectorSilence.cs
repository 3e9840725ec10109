using Acquire.Core.Readings;
using Acquire.Core.Results;

namespace Acquire.Core.Runs;

/// <summary>A second detector that has fallen silent, or never moved, confirms nothing, and the first decides alone.</summary>
internal static class SecondDetectorSilence
{
    /// <summary>A row has been taken: is the second detector missing in it?</summary>
    public static void Row(in Bench bench, in ReadingRow row)
    {
        if (BenchSilence.Falls(bench, bench.State.SecondDetectorRhythm, row, RowChannels.SecondDetector))
        {
            bench.State.SecondDetectorValue = null;
        }
    }

    /// <summary>States that it fell silent or never moved. In a guided run no detector judges anything.</summary>
    public static void Finish(in Bench bench)
    {
        var rhythm = bench.State.SecondDetectorRhythm;
        if (rhythm.SilentFrom is { } from && !bench.Plan.IsGuided)
        {
            bench.Find(FindingCodes.SecondDetectorSilent, FindingWeight.Note, from, rhythm.SilentCelsius, ChannelRhythm.SilentSeconds, null,
                $"The second detector came with every row and then sent nothing for more than {Text.Seconds(ChannelRhythm.SilentSeconds)} while other readings came. While it was silent the first detector decided alone: check its plug and cable.");
        }

        if (bench.State.Watch.SecondStillAt is { } still && !bench.Plan.IsGuided)
        {
            bench.Find(FindingCodes.SecondDetectorStill, FindingWeight.Note, bench.State.AtSeconds, bench.State.TemperatureCelsius, still, null,
                "The second detector gave the same value all along, so it confirmed nothing and the first detector decided alone: check its supply, its wire and where it looks.");
        }
    }
}
