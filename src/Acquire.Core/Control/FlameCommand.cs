namespace Acquire.Core.Control;

/// <summary>The test flame is to go over the cup, or away from it.</summary>
/// <param name="AtSeconds">Time of the command on the run's axis, s.</param>
/// <param name="Over">Over the cup, or away.</param>
/// <param name="Number">Number of the application, from 1.</param>
/// <param name="DueCelsius">Temperature at which the application is due, °C.</param>
public sealed record FlameCommand(double AtSeconds, bool Over, int Number, double DueCelsius);
