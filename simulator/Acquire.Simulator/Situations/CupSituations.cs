using Acquire.Core.Results;

namespace Acquire.Simulator;

/// <summary>What goes wrong with specimen, ramp and plan.</summary>
internal static class CupSituations
{
    public static IReadOnlyList<Situation> All { get; } =
    [
        new()
        {
            Name = "foaming-specimen",
            Happens = "The specimen foams: vapour comes unevenly, and bursting bubbles show as slow bumps.",
            See = "Foam on the surface; small slow bumps in the detector between the passes.",
            Do = "Break the foam or skim it off before the series begins, and repeat with a fresh test portion where a flash came and went: foam holds vapour back.",
            Expected = new([Verdict.Valid, Verdict.Doubtful], ExpectedFlash.Found, []),
            Make = () => SituationCatalog.BaseOil(new Disturbance(DisturbanceKind.Foam)),
        },
        new()
        {
            Name = "too-fast-heating",
            Happens = "The heating overshoots: more than 8 °C/min from 24 °C below the expected flash point on.",
            See = "The rate leaves its band upwards, and the page says so within seconds.",
            Do = "Begin again with a fresh test portion, and ease the heat earlier. A figure from a ramp that is too fast is not the method's.",
            Expected = SituationCatalog.Expect(Verdict.Invalid, ExpectedFlash.Found, FindingCodes.RateTooFast),
            Make = () => SituationCatalog.BaseOil(new Disturbance(DisturbanceKind.HeaterOvershoot)),
        },
        new()
        {
            Name = "expected-too-high",
            Happens = "Somebody expected 260 °C; the oil flashes at 226 °C.",
            See = "The first application of the series flashes.",
            Do = "Cover the cup, discard the test portion, and begin with a fresh one that is expected to flash lower.",
            Caution = "An oil that flashes far below what was expected may hold light ends or another product: keep the flame small and the lid in hand.",
            Expected = SituationCatalog.Expect(Verdict.Invalid, ExpectedFlash.Found, FindingCodes.FlashAtFirstApplication),
            Make = () => SituationCatalog.BaseOil() with { ExpectedFlashCelsius = 260 },
        },
        new()
        {
            Name = "expected-too-low",
            Happens = "Somebody expected 52 °C of a fuel in a closed cup; it flashes at 62 °C.",
            See = "Pass after pass without a flash, and then one farther above the first than the method takes.",
            Do = "The figure is approximate: repeat with a fresh test portion and expect what was found.",
            Expected = SituationCatalog.Expect(Verdict.Doubtful, ExpectedFlash.Found, FindingCodes.FlashOutsideWindow),
            Make = () => SituationCatalog.Fuel() with { ExpectedFlashCelsius = 52 },
        },
    ];
}
