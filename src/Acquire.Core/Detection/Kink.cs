namespace Acquire.Core.Detection;

/// <summary>Where a ramp turned to another rate.</summary>
/// <param name="AtSeconds">When, s.</param>
/// <param name="SlopePerSecond">Rate since then, °C/s.</param>
/// <param name="SlopeUncertaintyPerSecond">Its standard uncertainty, °C/s.</param>
/// <param name="Deviations">How sure the turn is, in standard deviations of the noise.</param>
public readonly record struct Kink(double AtSeconds, double SlopePerSecond, double SlopeUncertaintyPerSecond, double Deviations);
