namespace Acquire.Simulator;

/// <summary>One thing that a disturbance did.</summary>
/// <param name="Kind">Which disturbance.</param>
/// <param name="Seconds">When, s.</param>
internal readonly record struct DisturbanceEvent(DisturbanceKind Kind, double Seconds);
