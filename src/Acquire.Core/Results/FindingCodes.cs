namespace Acquire.Core.Results;

/// <summary>Stable codes of findings. A code never changes its meaning; a new meaning gets a new code.</summary>
public static class FindingCodes
{
    /// <summary>The mean rate left the method's band upwards. Value and limit in °C/min.</summary>
    public const string RateTooFast = "rate-too-fast";

    /// <summary>The mean rate left the method's band downwards. Value and limit in °C/min.</summary>
    public const string RateTooSlow = "rate-too-slow";

    /// <summary>The specimen was warmer at the start than the method allows. Value and limit in °C.</summary>
    public const string StartTooWarm = "start-too-warm";

    /// <summary>A scouting run started colder than the method begins at. Value and limit in °C.</summary>
    public const string StartTooCold = "start-too-cold";

    /// <summary>The run was a scouting run: its flash is approximate and nothing is reported. Value: what the next run may expect, °C.</summary>
    public const string ScoutingRun = "scouting-run";

    /// <summary>The specimen of a scouting run flashed before it was heated. Value in °C.</summary>
    public const string FlashBeforeHeating = "flash-before-heating";

    /// <summary>The first application of a scouting run came too close to its start. Value: how far above it, and limit, in °C.</summary>
    public const string FirstApplicationEarly = "first-application-early";

    /// <summary>Equilibrium: the block had not kept the set temperature when a portion was charged, or lost it while the portion waited. Value: how far off, and limit, in °C.</summary>
    public const string BlockNotSteady = "block-not-steady";

    /// <summary>Equilibrium: the block was off the set temperature at the application; the test does not count. Value: as read; limit: as set; °C.</summary>
    public const string BlockOffSet = "block-off-set";

    /// <summary>Equilibrium: a portion was charged into a cup above the set temperature; its test does not count. Value and limit in °C.</summary>
    public const string ChargedTooHot = "charged-too-hot";

    /// <summary>Equilibrium: the flame was applied too soon after charging; the test does not count. Value and limit in s.</summary>
    public const string WaitTooShort = "wait-too-short";

    /// <summary>Equilibrium: the flame was applied too late after charging. Value and limit in s.</summary>
    public const string WaitTooLong = "wait-too-long";

    /// <summary>Equilibrium: the volume stated for a portion is not the method's; its test does not count. Value and limit in mL.</summary>
    public const string PortionVolume = "portion-volume";

    /// <summary>Equilibrium: the flame was applied to one portion more than once; only the first counts. Value: number of the portion.</summary>
    public const string PortionAppliedTwice = "portion-applied-twice";

    /// <summary>Equilibrium: a portion was charged while another one waited. Value: number of the one given up.</summary>
    public const string PortionGivenUp = "portion-given-up";

    /// <summary>Equilibrium: the flame was applied while nobody had said that a portion is in the cup.</summary>
    public const string ApplicationWithoutPortion = "application-without-portion";

    /// <summary>Equilibrium: the tests do not answer what was asked. Value: set temperature of the last test that counts; limit: the one to be tested next; °C.</summary>
    public const string NoAnswer = "no-answer";

    /// <summary>The first application came later than the method allows. Value and limit in °C.</summary>
    public const string FirstApplicationLate = "first-application-late";

    /// <summary>Two applications lie closer together than the interval. Value and limit in °C.</summary>
    public const string ApplicationEarly = "application-early";

    /// <summary>Two applications lie farther apart than the interval. Value and limit in °C.</summary>
    public const string ApplicationLate = "application-late";

    /// <summary>At least one application was left out. Value and limit in °C.</summary>
    public const string ApplicationMissed = "application-missed";

    /// <summary>The flame stayed over the cup too long. Value and limit in s.</summary>
    public const string ApplicationTooLong = "application-too-long";

    /// <summary>The flame was applied for too short a time. Value and limit in s.</summary>
    public const string ApplicationTooShort = "application-too-short";

    /// <summary>Nothing tells that the flame was really applied. Value: number of such applications.</summary>
    public const string ApplicationUnconfirmed = "application-unconfirmed";

    /// <summary>The first application flashed: the flash point lies at or below it. Value in °C.</summary>
    public const string FlashAtFirstApplication = "flash-at-first-application";

    /// <summary>The flash came too near the first application or too far above it: the result is approximate. Value: how far above, and limit, in °C.</summary>
    public const string FlashOutsideWindow = "flash-outside-window";

    /// <summary>No flash up to the end of the record. Value: highest temperature reached, °C.</summary>
    public const string NoFlash = "no-flash";

    /// <summary>No burning of the method's seconds up to the end of the record. Value: longest burn, s.</summary>
    public const string NoFirePoint = "no-fire-point";

    /// <summary>The record ended while the specimen burned. Value: seconds burned; limit: the method's seconds.</summary>
    public const string EndedWhileBurning = "ended-while-burning";

    /// <summary>The detector saw an ignition with no test flame over the cup.</summary>
    public const string IgnitionWithoutFlame = "ignition-without-flame";

    /// <summary>An event that may have been a flash could not be told from the halo. Value: its significance.</summary>
    public const string FlashUncertain = "flash-uncertain";

    /// <summary>No flash was seen at a fresh test portion, and the detector could not have shown one.</summary>
    public const string FlashNotTellable = "flash-not-tellable";

    /// <summary>The record has a hole. Value: its length in s; limit: the longest allowed.</summary>
    public const string DataGap = "data-gap";

    /// <summary>Readings came with a time that does not go forward; they were kept out. Value: how many.</summary>
    public const string TimeNotForward = "time-not-forward";

    /// <summary>The thermometer jumped in a way a specimen cannot; those readings were kept out. Value: how many.</summary>
    public const string TemperatureJump = "temperature-jump";

    /// <summary>The corrected flash point lies outside the method's scope. Value and limit in °C.</summary>
    public const string OutsideScope = "outside-scope";

    /// <summary>Nobody gave the station pressure; the standard pressure was assumed. Value in kPa.</summary>
    public const string PressureAssumed = "pressure-assumed";

    /// <summary>The correction was used outside the pressures its standard vouches for. Value and limit in kPa.</summary>
    public const string PressureOutsideRange = "pressure-outside-range";

    /// <summary>The application after the flash did not flash. Value and limit: none.</summary>
    public const string FlashNotRepeated = "flash-not-repeated";

    /// <summary>The first flash was already the fire: a flash before it may have been missed. Value: observed fire point, °C.</summary>
    public const string FireWithoutFlash = "fire-without-flash";

    /// <summary>The detector sent nothing, or the same value all along.</summary>
    public const string DetectorDead = "detector-dead";

    /// <summary>At the detector's rate and noise flash and fire cannot be told as they should. Value: readings a second.</summary>
    public const string DetectorNotTrusted = "detector-not-trusted";

    /// <summary>At an application without a flash the detector stood at the end of its range, so one may have been hidden. Value: applications.</summary>
    public const string DetectorAtEnd = "detector-at-end";

    /// <summary>While the test flame was over the cup the detector sent nothing for so long that a flash would not have been seen. Value: the longest such gap, s; limit in s.</summary>
    public const string DetectorGap = "detector-gap";

    /// <summary>The second detector came with every row and fell silent: the first decided alone then. Value: silence that was borne, s.</summary>
    public const string SecondDetectorSilent = "second-detector-silent";

    /// <summary>The second detector gave the same value all along: the first decided alone. Value: that value, its own unit.</summary>
    public const string SecondDetectorStill = "second-detector-still";

    /// <summary>The thermometer's circuit was open. Value: readings marked bad.</summary>
    public const string ThermometerOpenCircuit = "thermometer-open-circuit";

    /// <summary>The thermometer's wires touched each other. Value: readings marked bad.</summary>
    public const string ThermometerShortCircuit = "thermometer-short-circuit";

    /// <summary>The thermometer's wires seem to be exchanged. Value: readings marked bad.</summary>
    public const string ThermometerReversed = "thermometer-reversed";

    /// <summary>The thermometer repeated one value although it used to change. Value: readings marked bad.</summary>
    public const string ThermometerStuck = "thermometer-stuck";

    /// <summary>The thermometer showed what it or the tester cannot have. Value: readings marked bad.</summary>
    public const string ThermometerOutOfRange = "thermometer-out-of-range";

    /// <summary>The thermometer's signal stood at an end of its converter's range. Value: readings marked bad.</summary>
    public const string ConverterSaturated = "converter-saturated";

    /// <summary>The thermometer sent nothing while other readings came. Value: rows without it.</summary>
    public const string ThermometerStale = "thermometer-stale";

    /// <summary>The temperature of the reference junction was not known. Value: readings marked bad.</summary>
    public const string JunctionMissing = "junction-missing";

    /// <summary>The temperature transmitter signalled a failure. Value: readings marked bad.</summary>
    public const string TransmitterFailure = "transmitter-failure";

    /// <summary>A point was read outside the calibrated span. Value and limit in °C.</summary>
    public const string OutsideCalibration = "outside-calibration";

    /// <summary>The thermometer's calibration was overdue. Value: days overdue.</summary>
    public const string CalibrationOverdue = "calibration-overdue";

    /// <summary>The thermometer's certificate is dated after the run.</summary>
    public const string CalibrationNotYetValid = "calibration-not-yet-valid";

    /// <summary>The thermometer's calibration is due soon. Value: days left; limit: days of warning.</summary>
    public const string CalibrationDue = "calibration-due";

    /// <summary>Temperatures were corrected for the thermometer's lag. Value: its time constant, s.</summary>
    public const string LagCorrected = "lag-corrected";

    /// <summary>The day of the run is not known, so the certificate was not judged.</summary>
    public const string CalibrationNotJudged = "calibration-not-judged";

    /// <summary>The temperature fell and rose again: heating was interrupted, or the thermometer disturbed. Value: how far it fell, °C.</summary>
    public const string HeatingInterrupted = "heating-interrupted";

    /// <summary>The heater of a driven run was cut before the result was complete. Value: temperature then, °C.</summary>
    public const string HeaterCut = "heater-cut";

    /// <summary>A point was read away from where the ramp before it leads. Value and limit in °C.</summary>
    public const string PointOffRamp = "point-off-ramp";

    /// <summary>The test flame was out at an application, which does not count; or something flashed although it was told to be out. Value and limit: none.</summary>
    public const string TestFlameOut = "test-flame-out";

    /// <summary>The stirrer turned while the flame was applied, where the method stops it. Value: number of such applications.</summary>
    public const string StirrerOnAtApplication = "stirrer-on-at-application";

    /// <summary>The stirrer stood, or turned outside the method's speeds, while the specimen was heated. Value: longest time; limit; s.</summary>
    public const string StirrerOutsideBand = "stirrer-outside-band";

    /// <summary>The air beside the cup was faster than its limit. Value: highest mean over some seconds; limit; m/s.</summary>
    public const string Draught = "draught";

    /// <summary>The room changed its temperature while the specimen was heated. Value: by how much; limit; °C.</summary>
    public const string AmbientChanged = "ambient-changed";

    /// <summary>The room was colder or warmer than the method allows. Value and limit in °C.</summary>
    public const string AmbientOutsideRange = "ambient-outside-range";

    /// <summary>The temperature hardly rose for a while before the controlled band held. Value: how long; limit; s.</summary>
    public const string HeatingPaused = "heating-paused";

    /// <summary>Many of the thermometer's readings were bad within a short time. Value and limit in %.</summary>
    public const string ThermometerIntermittent = "thermometer-intermittent";

    /// <summary>Temperatures were taken as they stand in the record; certificate and lag were not judged.</summary>
    public const string TemperaturesAsRead = "temperatures-as-read";

    /// <summary>A point came too far from any thermometer reading for its temperature to be known. Value and limit in s.</summary>
    public const string PointNotRead = "point-not-read";

    /// <summary>A sensor beside the cup that came with every row fell silent: what it would have told is not known.</summary>
    public const string BenchSilent = "bench-silent";

    /// <summary>The specimen flashed at a pass far below the first application of the series.</summary>
    public const string FlashBelowSeries = "flash-below-series";
}
