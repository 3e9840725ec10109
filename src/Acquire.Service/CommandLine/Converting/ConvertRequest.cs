namespace Acquire.Service.CommandLine.Converting;

/// <summary>What a person gave to `acquire convert`.</summary>
/// <param name="Type">Sensor whose signal is given; null where it was left out.</param>
/// <param name="To">Sensor whose signal is wanted; null where it was left out.</param>
/// <param name="Given">Finite numbers by the names in <see cref="ConvertOptions"/>; what was left out is missing.</param>
internal sealed record ConvertRequest(string? Type, string? To, IReadOnlyDictionary<string, double> Given);
