namespace Acquire.Core.Thermometry;

/// <summary>Whether a certificate may be relied on.</summary>
public enum CalibrationStanding
{
    /// <summary>It is in force.</summary>
    Valid,

    /// <summary>It is in force, and the next calibration is due within the days of warning.</summary>
    DueSoon,

    /// <summary>The next calibration was due before this day.</summary>
    Overdue,

    /// <summary>The calibration lies after this day.</summary>
    NotYetValid,
}

/// <summary>Standing of a certificate on a day.</summary>
/// <param name="Standing">Whether it may be relied on.</param>
/// <param name="DaysToDue">Days from that day to the day on which the next calibration is due; negative once overdue.</param>
public readonly record struct CalibrationTerm(CalibrationStanding Standing, int DaysToDue);
