using Acquire.Core.Readings;
using Acquire.Core.Results;

namespace Acquire.Simulator;

/// <summary>What can hurt somebody at a real cup.</summary>
internal static class HazardSituations
{
    public static IReadOnlyList<Situation> All { get; } =
    [
        new()
        {
            Name = "water-in-oil",
            Happens = "There is water in the specimen: from 100 °C on drops turn to steam under the hot oil.",
            See = "Crackling and spray; sharp bursts in the detector at any time, also within a pass; small dips of the temperature.",
            Do = "Heat off, flame out, stand back. Dry the specimen as the method has it and begin again: steam thins the vapour, and a burst within a pass looks like a flash.",
            Caution = "Hot oil with water in it can foam over and spray burning oil. Do not lean over the cup, and never put water on it.",
            Expected = new([Verdict.Doubtful, Verdict.Invalid], ExpectedFlash.NeverWrong, []),
            Make = () => SituationCatalog.BaseOil(new Disturbance(DisturbanceKind.WaterPopping)),
        },
        new()
        {
            Name = "stuck-relay",
            Happens = "The heater's relay sticks 20 °C below the expected flash point: half the power stays on, whatever is commanded.",
            See = "The rate climbs past its band and on; the oil gets hotter after the run is over.",
            Do = "Pull the plug: the switch on the page cannot open a stuck relay. Cover the cup. Have the relay replaced before the tester is used again.",
            Caution = "Oil that is heated on comes to its fire point and then to where it ignites by itself. A tester needs a cut-out of its own; this software is none.",
            Expected = SituationCatalog.Expect(Verdict.Invalid, ExpectedFlash.Found, FindingCodes.RateTooFast),
            Make = () => SituationCatalog.BaseOil(new Disturbance(DisturbanceKind.StuckRelay)),
        },
        new()
        {
            Name = "flame-never-lit",
            Happens = "The test flame was never lit. The tester tells whether it burns.",
            See = "The arm swings, and the detector shows nothing; the page says that the flame is out.",
            Do = "Heat off. Let the cup cool, light the flame, and begin again with a fresh test portion.",
            Caution = "The cup holds vapour that is above its flash point and gas may have come out unburnt: air the bench before you light anything.",
            Expected = SituationCatalog.Expect(Verdict.Invalid, ExpectedFlash.None, FindingCodes.NoFlash, FindingCodes.TestFlameOut),
            Make = () => SituationCatalog.BaseOil(new Disturbance(DisturbanceKind.FlameOut)) with { Bench = new() { Channels = RowChannels.Lit } },
        },
        new()
        {
            Name = "gas-runs-out",
            Happens = "The gas bottle is empty midway through the series. The tester tells whether the flame burns.",
            See = "Passes show in the detector, and then no more.",
            Do = "Heat off, valve closed. Change the bottle, and begin again with a fresh test portion.",
            Caution = "Do not relight over the hot cup: it may hold vapour that is above its flash point.",
            Expected = SituationCatalog.Expect(Verdict.Invalid, ExpectedFlash.None, FindingCodes.NoFlash, FindingCodes.TestFlameOut),
            Make = () => SituationCatalog.BaseOil(new Disturbance(DisturbanceKind.FlameOut, null, 1150)) with { Bench = new() { Channels = RowChannels.Lit } },
        },
        new()
        {
            Name = "ignites-by-itself",
            Happens = "Above the flash point the specimen ignites between two passes, with no test flame over the cup.",
            See = "The surface burns although nobody applied the flame.",
            Do = "Cover the cup, heat off. Look for a hot spot, a spark, another flame. Repeat with a fresh test portion once the cause is found.",
            Caution = "Cover it with the lid and wait until it is cool: lifted too early it lights again. No water.",
            Expected = SituationCatalog.Expect(Verdict.Doubtful, ExpectedFlash.Found, FindingCodes.IgnitionWithoutFlame),
            Make = () => SituationCatalog.BaseOil(new Disturbance(DisturbanceKind.SelfIgnition)),
        },
    ];
}
