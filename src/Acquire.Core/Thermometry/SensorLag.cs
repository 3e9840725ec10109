namespace Acquire.Core.Thermometry;

/// <summary>First-order lag of a sensor: on a steady ramp it reads too low by time constant times ramp rate.</summary>
/// <param name="TimeConstantSeconds">Time constant in the specimen, s; 0.01 to 300.</param>
/// <param name="Correct">Whether the lag is corrected. Off unless asked for: a method's precision statement assumes its own thermometer, lag included.</param>
public sealed record SensorLag(double TimeConstantSeconds, bool Correct);
