using Acquire.Core.Readings;
using Acquire.Core.Results;

namespace Acquire.Simulator;

/// <summary>What goes wrong between the cup and the detector's readings.</summary>
internal static class DetectorSituations
{
    public static IReadOnlyList<Situation> All { get; } =
    [
        new()
        {
            Name = "draughty-bench",
            Happens = "A window is open: gusts bend the test flame during the series. The tester has an air sensor.",
            See = "The flame flickers, the detector is restless, the air is faster than 0.3 m/s.",
            Do = "Close doors and windows, set up the shield, and repeat with a fresh test portion: a draught carries vapour away, and the flash comes late.",
            Expected = SituationCatalog.Expect(Verdict.Doubtful, ExpectedFlash.Found, FindingCodes.Draught),
            Make = () => SituationCatalog.BaseOil(new Disturbance(DisturbanceKind.Draught, 1.5, 1000, 500)) with { Bench = new() { Channels = RowChannels.Air } },
        },
        new()
        {
            Name = "aliased-hum",
            Happens = "Mains hum in the detector's cable, folded down by 50 readings a second to a wave of 0.7 Hz.",
            See = "A slow, regular wave in the detector that nothing at the cup explains.",
            Do = "The run stands. Then ground the cable's shield, keep it away from the heater's leads, and read 60 or 200 times a second instead of 50.",
            Expected = SituationCatalog.Expect(Verdict.Valid, ExpectedFlash.Found),
            Make = () => SituationCatalog.BaseOil(new Disturbance(DisturbanceKind.Hum, 3)) with { HumHertz = 50.7 },
        },
        new()
        {
            Name = "spiky-wiring",
            Happens = "Something in the room throws single wild readings into the detector, one in three seconds.",
            See = "Needles up and down, one reading wide, at any time.",
            Do = "The run stands: one reading is no flash. Then look for what is switched at those moments, for a loose plug, and for leads side by side.",
            Expected = SituationCatalog.Expect(Verdict.Valid, ExpectedFlash.Found),
            Make = () => SituationCatalog.BaseOil(new Disturbance(DisturbanceKind.Spikes, 0.3)),
        },
        new()
        {
            Name = "drifting-detector",
            Happens = "The detector warms up with the cup, and its resting value wanders.",
            See = "The line between the passes goes up and down by many times its own noise.",
            Do = "The run stands. Switch the detector on an hour before the next one, and shield it from the plate's heat.",
            Expected = SituationCatalog.Expect(Verdict.Valid, ExpectedFlash.Found),
            Make = () => SituationCatalog.BaseOil(new Disturbance(DisturbanceKind.Drift, 1.5)),
        },
        new()
        {
            Name = "saturated-detector",
            Happens = "The detector's amplifier is set too high: halo and flash both reach the end of the converter.",
            See = "Flat tops at the last passes before the flash, all of one height.",
            Do = "Do not report it. Lower the amplification until a flash is not cut off, and repeat with a fresh test portion.",
            Expected = new([Verdict.Doubtful, Verdict.Invalid], ExpectedFlash.NeverWrong, [FindingCodes.DetectorAtEnd]),
            Make = () => SituationCatalog.BaseOil(new Disturbance(DisturbanceKind.Saturation, 12)) with { FireCelsius = 252 },
        },
        new()
        {
            Name = "hard-day",
            Happens = "Two detectors, a faint flash, and all at once: hum, drift, wild readings, gusts now and then.",
            See = "Restless curves. In the electrode the flash is still a step that was not there at the passes before.",
            Do = "The run stands. Make the bench quieter all the same.",
            Expected = SituationCatalog.Expect(Verdict.Valid, ExpectedFlash.Found),
            Make = () => SituationCatalog.BaseOil(
                new(DisturbanceKind.Hum, 1), new(DisturbanceKind.Drift, 1), new(DisturbanceKind.Spikes, 0.05), new(DisturbanceKind.Draught, 1), new(DisturbanceKind.WeakFlash, 8)) with { TwoDetectors = true, FireCelsius = 252 },
        },
    ];
}
