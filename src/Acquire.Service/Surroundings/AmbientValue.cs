namespace Acquire.Service.Surroundings;

/// <summary>The newest value of one channel of a shared source.</summary>
/// <param name="Value">In the unit of the channel: kPa, °C, m/s.</param>
/// <param name="AgeSeconds">Since it arrived, s.</param>
/// <param name="Stale">Whether it is too old to be used.</param>
public readonly record struct AmbientValue(double Value, double AgeSeconds, bool Stale);
