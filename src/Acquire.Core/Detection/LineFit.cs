namespace Acquire.Core.Detection;

/// <summary>A straight line through readings by ordinary least squares, on their real timestamps.</summary>
/// <param name="CentreSeconds">Mean time of the readings, s.</param>
/// <param name="CentreValue">Value of the line there.</param>
/// <param name="SlopePerSecond">Slope, unit per s.</param>
/// <param name="SlopeUncertaintyPerSecond">Standard uncertainty of the slope from the residuals, unit per s.</param>
/// <param name="Count">Readings used; at least 3.</param>
/// <param name="SpanSeconds">Time between the first and the last of them, s.</param>
public readonly record struct LineFit(
    double CentreSeconds,
    double CentreValue,
    double SlopePerSecond,
    double SlopeUncertaintyPerSecond,
    int Count,
    double SpanSeconds)
{
    /// <summary>Value of the line at a time.</summary>
    public double At(double seconds) => CentreValue + (SlopePerSecond * (seconds - CentreSeconds));
}
