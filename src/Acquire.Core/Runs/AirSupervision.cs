using System.Globalization;
using Acquire.Core.Alarms;
using Acquire.Core.Results;

namespace Acquire.Core.Runs;

/// <summary>Follows the air beside the cup: a draught carries vapour away and bends the test flame.</summary>
internal static class AirSupervision
{
    // Air flutters: what counts is its mean over some seconds.
    private const double MeanSeconds = 2;

    // The alarm goes once the air is calmer than its limit by this share, so that it does not flutter too.
    private const double CalmShare = 0.8;

    /// <summary>A reading of the air's speed, m/s.</summary>
    public static void Read(in Bench bench, double seconds, double metresPerSecond)
    {
        var s = bench.State;
        var (ledger, stretch) = (s.Told, s.Told.Draught);
        var silent = seconds - ledger.Air.ReadAt > bench.Rules.Judgement.GapSeconds;
        var mean = ledger.Air.Take(seconds, metresPerSecond, MeanSeconds);
        if (bench.Rules.Method.Surroundings is not { DraughtMetresPerSecond: { } limit, DraughtSeconds: { } longest })
        {
            return;
        }

        var heated = (bench.Searching || s.Phase == RunPhase.FastHeating) && s.HighestMeanCelsius - s.LowestCelsius >= ScoutingRules.HeatedCelsius;
        if (silent || mean <= limit || !heated)
        {
            stretch.End();
        }

        if (mean > limit && heated)
        {
            stretch.Break(seconds, s.TemperatureCelsius, mean, mean > stretch.Worst);
            if (stretch.Seconds > longest)
            {
                bench.Alarm(AlarmCodes.Draught, $"Draught beside the cup: {Speed(mean)}, the limit is {Speed(limit)}. Close doors and windows, set up the shield.");
            }
        }
        else if (mean < CalmShare * limit)
        {
            bench.Clear(AlarmCodes.Draught);
        }
    }

    /// <summary>States what was noticed.</summary>
    public static void Finish(in Bench bench)
    {
        var (ledger, stretch) = (bench.State.Told, bench.State.Told.Draught);
        if (bench.Rules.Method.Surroundings is not { DraughtMetresPerSecond: { } limit, DraughtSeconds: { } longest })
        {
            return;
        }

        if (ledger.Draughty.Count > 0)
        {
            bench.Find(FindingCodes.Draught, FindingWeight.Doubtful, ledger.Draughty.FirstSeconds, ledger.Draughty.FirstCelsius, stretch.Worst, limit,
                $"There was a draught of up to {Speed(stretch.Worst)} (limit {Speed(limit)}) at {ledger.Draughty.Count} of {bench.State.Series.Made.Count} applications. It carries vapour away and bends the flame: shield the cup and repeat with a fresh test portion.");
        }
        else if (stretch.LongestSeconds > longest)
        {
            bench.Find(FindingCodes.Draught, FindingWeight.Note, stretch.LongestFrom, stretch.LongestCelsius, stretch.Worst, limit,
                $"There was a draught of up to {Speed(stretch.Worst)} (limit {Speed(limit)}) for {Text.Seconds(stretch.LongestSeconds)} while the specimen was heated, and none at an application. Shield the cup.");
        }
    }

    private static string Speed(double metresPerSecond) => string.Create(CultureInfo.InvariantCulture, $"{metresPerSecond:0.00} m/s");
}
