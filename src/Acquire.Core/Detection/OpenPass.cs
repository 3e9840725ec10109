namespace Acquire.Core.Detection;

/// <summary>A pass of the test flame that is still being looked at. Times in s on the run's axis, heights in the detector's unit.</summary>
internal sealed class OpenPass
{
    public double Start { get; set; }

    public double? End { get; set; }

    public bool FlameSeen { get; set; }

    public double LastStir { get; set; }

    public double Highest { get; set; }
}
