using Acquire.Core.Readings;

namespace Acquire.Service.Sources.Mqtt;

/// <summary>A row of a payload.</summary>
/// <param name="Row">The readings.</param>
/// <param name="Sequence">The tester's own count, 0 or above; null where it sends none.</param>
public readonly record struct DecodedRow(ReadingRow Row, long? Sequence);
