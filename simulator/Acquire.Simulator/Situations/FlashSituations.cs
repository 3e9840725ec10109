using Acquire.Core.Results;

namespace Acquire.Simulator;

/// <summary>How flashes, halos and fires can look.</summary>
internal static class FlashSituations
{
    // A faint flash, below the pass of the flame and the halo.
    private static readonly DetectorScene FaintScene = DetectorScene.Clear with { PassSigma = 10, FlashSigma = 8, FlashTailSeconds = 0 };

    public static IReadOnlyList<Situation> All { get; } =
    [
        new()
        {
            Name = "clean-run",
            Happens = "Everything is as it should be: an oil with a flash point of 226 °C and a fire point of 252 °C.",
            See = "A bump in the detector at each pass, then a growing halo, a blink at the flash, and a flash at each pass from there on, until the oil burns for 5 s. The rate stays in its band.",
            Do = "Nothing but the method. Read the notes, report both points. Compare your own set-up with this run first: if it is not valid here, look at wiring and configuration before anything else.",
            Expected = SituationCatalog.Expect(Verdict.Valid, ExpectedFlash.Found),
            Make = () => SituationCatalog.BaseOil() with { FireCelsius = 252 },
        },
        new()
        {
            Name = "faint-flash",
            Happens = "The flash is fainter than the pass of the test flame, under a halo that is twice as high; one detector.",
            See = "A blue halo that widens the flame for two or three passes, then a brief flicker over the whole surface that is easily overlooked. In the curve a small step on a large bump.",
            Do = "Look at the cup from the first halo on. Where the figure comes with a finding, look at the curve at that pass and repeat with a fresh test portion. Never report a halo as the flash.",
            Expected = new([Verdict.Valid, Verdict.Doubtful], ExpectedFlash.NeverWrong, []),
            Make = () => SituationCatalog.BaseOil(new Disturbance(DisturbanceKind.WeakFlash, 8)) with { Scene = FaintScene },
        },
        new()
        {
            Name = "faint-flash-two-detectors",
            Happens = "The same faint flash, seen by an ionisation electrode at the far side of the cup and a thermal detector over it.",
            See = "The thermal curve shows pass, halo and flash as one bump; the electrode hardly sees the halo, and the flash stands out of it.",
            Do = "Report it: the electrode decides, the thermal detector confirms. Compare with `faint-flash` to see what the second detector is worth.",
            Expected = SituationCatalog.Expect(Verdict.Valid, ExpectedFlash.Found),
            Make = () => SituationCatalog.BaseOil(new Disturbance(DisturbanceKind.WeakFlash, 8)) with { Scene = FaintScene, TwoDetectors = true },
        },
        new()
        {
            Name = "fast-halo-one-detector",
            Happens = "The halo comes and goes as fast as a flash, and is as high as one. One detector cannot tell them apart: the flash may be told at the halo, some degrees too low.",
            See = "Blinks round the test flame at the last passes before the flash. They do not cross the surface.",
            Do = "Look at the cup, not at the curve: only a flame over the whole surface is a flash. Repeat with a fresh test portion, with a second detector at the far side of the cup if there is one, or guided by hand.",
            Expected = new([Verdict.Valid, Verdict.Doubtful], ExpectedFlash.MayBeEarly, []),
            Make = () => SituationCatalog.BaseOil(new(DisturbanceKind.FastHalo), new(DisturbanceKind.WeakFlash, 15)),
        },
        new()
        {
            Name = "fast-halo-two-detectors",
            Happens = "The same fast halo and flash, with an electrode where the halo does not reach.",
            See = "The thermal detector blinks at the passes before the flash, the electrode does not.",
            Do = "Report it: what only the thermal detector sees is no flash.",
            Expected = SituationCatalog.Expect(Verdict.Valid, ExpectedFlash.Found),
            Make = () => SituationCatalog.BaseOil(new(DisturbanceKind.FastHalo), new(DisturbanceKind.WeakFlash, 15)) with { TwoDetectors = true },
        },
        new()
        {
            Name = "late-flash",
            Happens = "The vapour lights a third of a second after the test flame has left.",
            See = "The flame has passed, and then the surface flashes.",
            Do = "It belongs to that pass: report it.",
            Caution = "Keep hands and face away from the cup for a second after each pass.",
            Expected = SituationCatalog.Expect(Verdict.Valid, ExpectedFlash.Found),
            Make = () => SituationCatalog.BaseOil(new Disturbance(DisturbanceKind.LateFlash)),
        },
        new()
        {
            Name = "double-flash",
            Happens = "Each flash is followed by another within a third of a second.",
            See = "Two blinks at one pass.",
            Do = "One pass, one flash: report the temperature of the first.",
            Expected = SituationCatalog.Expect(Verdict.Valid, ExpectedFlash.Found),
            Make = () => SituationCatalog.BaseOil(new Disturbance(DisturbanceKind.DoubleFlash)),
        },
        new()
        {
            Name = "short-burns",
            Happens = "Below the fire point the flashes burn on, but for less than 5 s.",
            See = "From some passes before the fire point on the surface burns for one to four seconds and goes out by itself.",
            Do = "Do not stop the run, and do not cover the cup before 5 s: a burn that goes out earlier is no fire point.",
            Caution = "Have the lid in hand: the next burn may not go out by itself.",
            Expected = SituationCatalog.Expect(Verdict.Valid, ExpectedFlash.Found),
            Make = () => SituationCatalog.BaseOil() with { FireCelsius = 240, ShortBurns = true },
        },
    ];
}
