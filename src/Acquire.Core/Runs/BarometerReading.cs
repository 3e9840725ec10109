namespace Acquire.Core.Runs;

/// <summary>What a barometer of the laboratory said as a run began for which nobody gave the station pressure.</summary>
/// <param name="Source">Name of the barometer's source, for people.</param>
/// <param name="Kilopascals">Absolute pressure, kPa; null where it had said nothing yet.</param>
/// <param name="AgeSeconds">How old the reading was, s; null where there was none.</param>
/// <param name="NotUsed">Why it was not used, in words that follow "because"; null where it is the run's station pressure.</param>
public sealed record BarometerReading(string Source, double? Kilopascals, double? AgeSeconds, string? NotUsed);
