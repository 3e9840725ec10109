namespace Acquire.Service.Configuration;

/// <summary>That what the wire of a tester says is kept for each of its runs.</summary>
/// <param name="LargestMegabytes">Size at which the file of one run is cut, MB; 1 to 1000.</param>
/// <param name="KeepDays">Age at which a file is deleted, as the tester's next run begins, days; 1 to 36,500. Null: never.</param>
public sealed record CaptureConfig(int LargestMegabytes, int? KeepDays = null)
{
    /// <summary>Size where none is given, MB: days of a usual serial line.</summary>
    public const int UsualMegabytes = 16;
}
