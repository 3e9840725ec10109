namespace Acquire.Core.Runs;

/// <summary>The applications made and the next one due.</summary>
internal sealed class ApplicationLedger
{
    /// <summary>All applications so far, in order.</summary>
    public List<Application> Made { get; set; } = [];

    /// <summary>Temperature of the next application, °C.</summary>
    public double NextDueCelsius { get; set; }

    /// <summary>When the specimen crossed that temperature, s.</summary>
    public double? DueCrossedAt { get; set; }

    /// <summary>Temperature of the newest application in the series, °C; null before the series began.</summary>
    public double? LastCelsius { get; set; }

    /// <summary>Number of the application that began the series, from 1; 0 before.</summary>
    public int FirstNumber { get; set; }

    /// <summary>Whether at least one application was left out directly before the newest one.</summary>
    public bool GapBeforeNewest { get; set; }

    /// <summary>Rise from the application before to the newest one of the series, °C; null for the first.</summary>
    public double? RiseBeforeNewest { get; set; }

    /// <summary>Whether the open application has not been put in its place yet, since its flame seems to be out.</summary>
    public bool OpenUnplaced { get; set; }

    /// <summary>Whether the gap that is open now has already been found.</summary>
    public bool GapFound { get; set; }

    /// <summary>The flame that is over the cup, before it has been counted as an application, s.</summary>
    public double? PendingFlameAt { get; set; }

    /// <summary>Number of the application being made or judged; null between applications.</summary>
    public int? OpenNumber { get; set; }

    /// <summary>Temperature at which it began, °C.</summary>
    public double OpenCelsius { get; set; }

    /// <summary>Whether the application after the flash has been judged, and is known to have flashed or not.</summary>
    public bool Repeated { get; set; }

    /// <summary>An event that could not be told from the halo: when, how high over its noise.</summary>
    public (double AtSeconds, double Celsius, double Significance)? Uncertain { get; set; }

    /// <summary>The first application, before any flash, at which the detector stood at the end of its range: when, at what reading and value; null where it did at none.</summary>
    public (double AtSeconds, double Celsius, double Value)? AtEnd { get; set; }

    /// <summary>How many there were.</summary>
    public int AtEndCount { get; set; }

    /// <summary>The newest application, before any flash, where the detector's readings have a gap that hides a flash: when, at what reading; null where it has none.</summary>
    public (double AtSeconds, double Celsius)? Gap { get; set; }

    /// <summary>How many applications before any flash had such a gap.</summary>
    public int GapCount { get; set; }

    /// <summary>The longest of them, s.</summary>
    public double LongestGapSeconds { get; set; }
}
