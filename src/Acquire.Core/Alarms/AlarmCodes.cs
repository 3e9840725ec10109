namespace Acquire.Core.Alarms;

/// <summary>Stable codes of alarms.</summary>
public static class AlarmCodes
{
    /// <summary>Equilibrium: a portion was charged into a cup above its set temperature.</summary>
    public const string ChargedTooHot = "charged-too-hot";

    /// <summary>The ramp is, or is about to be, above its band.</summary>
    public const string HeatingTooFast = "heating-too-fast";

    /// <summary>The ramp is below its band.</summary>
    public const string HeatingTooSlow = "heating-too-slow";

    /// <summary>No thermometer reading for too long.</summary>
    public const string StreamStale = "stream-stale";

    /// <summary>The detector saw an ignition with no test flame over the cup.</summary>
    public const string IgnitionWithoutFlame = "ignition-without-flame";

    /// <summary>The specimen is burning.</summary>
    public const string SpecimenBurning = "specimen-burning";

    /// <summary>The test flame is out and an application is near.</summary>
    public const string TestFlameOut = "test-flame-out";

    /// <summary>The stirrer turned while the test flame was applied, or turns while an application is due.</summary>
    public const string StirrerOnAtApplication = "stirrer-on-at-application";

    /// <summary>The stirrer stands, or turns outside the method's speeds, while the specimen is heated.</summary>
    public const string StirrerOutsideBand = "stirrer-outside-band";

    /// <summary>The air beside the cup is faster than its limit.</summary>
    public const string Draught = "draught";

    /// <summary>The lane's queue was full: its source had to wait.</summary>
    public const string QueueFull = "queue-full";

    /// <summary>The wire carries lines or payloads that cannot be understood.</summary>
    public const string InputMalformed = "input-malformed";

    /// <summary>The source is not connected.</summary>
    public const string SourceDown = "source-down";

    /// <summary>The thermometer's calibration is overdue. The faults of a thermometer have the codes of <see cref="Thermometry.ThermometerFaults"/>.</summary>
    public const string CalibrationOverdue = "calibration-overdue";
}
