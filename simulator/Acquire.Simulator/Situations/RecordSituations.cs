using Acquire.Core.Results;
using Acquire.Core.Thermometry;

namespace Acquire.Simulator;

/// <summary>What goes wrong with the thermometer, the wire and the clock.</summary>
internal static class RecordSituations
{
    public static IReadOnlyList<Situation> All { get; } =
    [
        new()
        {
            Name = "thermometer-breaks",
            Happens = "A thermocouple breaks in the middle of the series. The tester sends its emf.",
            See = "The temperature is gone; the page says that the circuit is open.",
            Do = "Heat off at once: nobody knows how hot the oil is. When the cup is cold look at plug, cable and sensor, and begin again with a fresh test portion.",
            Caution = "A heater that goes on without a thermometer brings the oil to its fire point unseen.",
            Expected = SituationCatalog.Expect(Verdict.Invalid, ExpectedFlash.None, FindingCodes.ThermometerOpenCircuit),
            Make = () => SituationCatalog.BaseOil(new Disturbance(DisturbanceKind.SensorBreak, null, 1150)) with { Thermometer = new() { Chain = Thermocouple } },
        },
        new()
        {
            Name = "lost-messages",
            Happens = "One message in fifty is lost on the wire.",
            See = "Small holes in the curves.",
            Do = "The run stands: no hole was long enough to hide a flash. Then look at the cable or the radio link.",
            Expected = SituationCatalog.Expect(Verdict.Valid, ExpectedFlash.Found),
            Make = () => SituationCatalog.BaseOil(new Disturbance(DisturbanceKind.Dropped)),
        },
        new()
        {
            Name = "doubled-messages",
            Happens = "One message in fifty comes twice.",
            See = "Nothing in the curves; a note says how many readings were not later than the one before.",
            Do = "The run stands. Look whether the tester sends again what was acknowledged.",
            Expected = SituationCatalog.Expect(Verdict.Valid, ExpectedFlash.Found, FindingCodes.TimeNotForward),
            Make = () => SituationCatalog.BaseOil(new Disturbance(DisturbanceKind.Duplicated)),
        },
        new()
        {
            Name = "messages-out-of-order",
            Happens = "One message in fifty comes after the one that followed it.",
            See = "Small holes in the curves; a note says how many readings came too late.",
            Do = "The run stands. Look at the link, or whether several programs send for one tester.",
            Expected = SituationCatalog.Expect(Verdict.Valid, ExpectedFlash.Found, FindingCodes.TimeNotForward),
            Make = () => SituationCatalog.BaseOil(new Disturbance(DisturbanceKind.Reordered)),
        },
        new()
        {
            Name = "clock-jumps-forward",
            Happens = "The tester's clock is set forward by 45 s in the middle of the series.",
            See = "A hole of 45 s in the curves in which the temperature did not rise.",
            Do = "Look at the curve: nothing was lost, but the rate cannot be told across the hole. Repeat where the figure matters, and let no clock be set during a run.",
            Expected = new([Verdict.Doubtful, Verdict.Invalid], ExpectedFlash.Found, [FindingCodes.DataGap]),
            Make = () => SituationCatalog.BaseOil(new Disturbance(DisturbanceKind.ClockJump, 45, 1150)),
        },
        new()
        {
            Name = "clock-jumps-back",
            Happens = "The tester's clock is set back by 10 s in the middle of the series.",
            See = "For 10 s every reading says that it is older than the newest.",
            Do = "What came in those seconds was kept out; a pass may have been missed. Repeat where the figure matters, and let no clock be set during a run.",
            Expected = new([Verdict.Doubtful, Verdict.Invalid], ExpectedFlash.Found, [FindingCodes.TimeNotForward]),
            Make = () => SituationCatalog.BaseOil(new Disturbance(DisturbanceKind.ClockJump, -10, 1150)),
        },
    ];

    // Without a certificate: what it says of the day would depend on the day of the training.
    private static ThermometerChain Thermocouple => new() { Unit = ThermometerUnit.Microvolt, Sensor = new ThermocoupleSensor(ThermocoupleType.K, ReferenceJunctionKind.Measured, null) };
}
