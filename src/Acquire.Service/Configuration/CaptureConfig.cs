namespace Acquire.Service.Configuration;

/// <summary>That what the wire of a tester says is kept for each of its runs.</summary>
/// <param name="LargestMegabytes">Size at which the file of one run is cut, MB; 1 to 1000.</param>
public sealed record CaptureConfig(int LargestMegabytes)
{
    /// <summary>Size where none is given, MB: days of a usual serial line.</summary>
    public const int UsualMegabytes = 16;
}
