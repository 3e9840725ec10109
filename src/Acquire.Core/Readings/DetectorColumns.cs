namespace Acquire.Core.Readings;

/// <summary>Names of the columns that a trace has for the ignition detectors.</summary>
public static class DetectorColumns
{
    /// <summary>The detector that decides.</summary>
    public const string First = "detector";

    /// <summary>The one that confirms, of a tester that has two.</summary>
    public const string Second = "second_detector";
}
