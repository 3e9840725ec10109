namespace Acquire.Service.Archive.Corrections;

/// <summary>What of a closed run can be corrected.</summary>
public enum CorrectedField
{
    /// <summary>What was in the cup, as booked in.</summary>
    Specimen,

    /// <summary>The flash point that was expected, °C. The result is judged anew.</summary>
    ExpectedFlash,

    /// <summary>The absolute pressure at the bench, kPa. The result is judged anew.</summary>
    StationPressure,

    /// <summary>A remark on the run; nothing follows from it.</summary>
    Remark,
}
