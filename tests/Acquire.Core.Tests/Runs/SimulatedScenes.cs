using Acquire.Core.Methods;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Runs;

/// <summary>Runs of the simulator, played through the supervisor and held against the truth.</summary>
internal static class SimulatedScenes
{
    // An application every 2 °C (ISO 2592 and ASTM D92, clause 11): a flash cannot be known better than to one interval.
    private const double IntervalCelsius = 2;

    public static (SimulatedTruth Truth, RunResult Result) Play(int i, DetectorScene scene, bool flame)
    {
        Assert.True(MethodCatalog.TryFind(i % 2 == 0 ? "iso-2592-2017" : "astm-d92-18", out var method));
        var options = new SimulatorOptions
        {
            Method = method,
            FlashCelsius = 180 + (7 * (i % 13)),
            FireCelsius = 180 + (7 * (i % 13)) + 14 + (i % 5 * 3),
            StationPressureKilopascals = 98.5 + (i % 7),
            ShortBurns = i % 3 == 0,
            HasFlameSignal = flame,
            RowsPerSecond = 50,
            StartCelsius = 120 + (7 * (i % 13)),
            Seed = (ulong)(1000 + i),
            Scene = scene,
        };
        var run = new SimulatedRun(options);
        var plan = new RunPlan { Method = method, ExpectedFlashCelsius = options.Expected, StationPressureKilopascals = options.StationPressureKilopascals, HasFlameSignal = flame };
        return (run.Truth, RunReplay.Run(plan, run));
    }

    public static bool Near(SimulatedOnset? truth, DeterminedPoint? found) =>
        truth is null ? found is null : found is not null && Math.Abs(found.ObservedCelsius - truth.TemperatureCelsius) <= IntervalCelsius;

    public static string Story(int i, SimulatedTruth truth, RunResult result) =>
        FormattableString.Invariant($"run {i}: {result.Verdict}, flash {result.Flash?.ObservedCelsius:F1} of {truth.Flash?.TemperatureCelsius:F1}, fire {result.Fire?.ObservedCelsius:F1} of {truth.Fire?.TemperatureCelsius:F1} °C; {string.Join(", ", result.Reasons.Select(reason => reason.Code))}");
}
