namespace Acquire.Core.Detection;

/// <summary>A pass of the test flame that is still being looked at. Times in s on the run's axis, heights in the detector's unit.</summary>
internal sealed class OpenPass
{
    public double Start { get; set; }

    public double? End { get; set; }

    public bool FlameSeen { get; set; }

    public double LastStir { get; set; }

    public double Highest { get; set; }

    /// <summary>How often it was looked at and left open, because something glowed on.</summary>
    public int Looks { get; set; }

    /// <summary>Not to be looked at again before this time, s.</summary>
    public double LookAgainSeconds { get; set; } = double.NegativeInfinity;
}
