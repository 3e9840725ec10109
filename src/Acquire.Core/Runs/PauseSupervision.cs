using Acquire.Core.Detection;
using Acquire.Core.Results;

namespace Acquire.Core.Runs;

/// <summary>Follows pauses of the heating before the controlled band holds; from there on the band itself tells of them.</summary>
internal static class PauseSupervision
{
    // Slower than this the specimen is not being heated, °C/min.
    private const double StandsCelsiusPerMinute = 1;

    // Before it has risen by this the heater has not been turned on yet, °C.
    private const double BegunCelsius = 5;

    /// <summary>The temperature has moved on.</summary>
    public static void Look(in Bench bench)
    {
        var s = bench.State;
        if (bench.Rules.Judgement.PauseSeconds is null || s.RampLedger.ControlledSince is not null || s.Phase is not (RunPhase.FastHeating or RunPhase.ControlledHeating or RunPhase.ApplyingTestFlame))
        {
            s.Pause.End();
            return;
        }

        if (s.Ramp.Fit(RampEstimator.WarningWindowSeconds, double.NegativeInfinity) is not { } line)
        {
            return;
        }

        var celsius = line.At(s.Ramp.NewestSeconds);
        if (line.SlopePerSecond * 60 < StandsCelsiusPerMinute && celsius - s.LowestCelsius >= BegunCelsius)
        {
            s.Pause.Break(s.Ramp.NewestSeconds, celsius, line.SlopePerSecond * 60, line.SlopePerSecond * 60 < s.Pause.Worst);
        }
        else
        {
            s.Pause.End();
        }
    }

    /// <summary>The temperature fell and rose again, which is a finding of its own.</summary>
    public static void Forget(in Bench bench) => bench.State.Pause = new();

    /// <summary>States the longest pause.</summary>
    public static void Finish(in Bench bench)
    {
        var pause = bench.State.Pause;
        if (bench.Rules.Judgement.PauseSeconds is { } limit && pause.LongestSeconds > limit)
        {
            bench.Find(FindingCodes.HeatingPaused, FindingWeight.Note, pause.LongestFrom, pause.LongestCelsius, pause.LongestSeconds, limit,
                $"The temperature hardly rose for {Text.Seconds(pause.LongestSeconds)} (limit {Text.Seconds(limit)}) before the controlled band began. A cup that is held hot loses its light ends: heat on without a pause next time.");
        }
    }
}
