using Acquire.Core.Results;

namespace Acquire.Service.Archive.Influx.Feeding;

/// <summary>What a closed run said after so many corrections.</summary>
/// <param name="Index">How many corrections.</param>
/// <param name="At">When it was closed, or corrected, UTC.</param>
/// <param name="Specimen">What was in the cup, as then booked in.</param>
/// <param name="ExpectedFlashCelsius">Expected flash point as then stated, °C; null where nothing was expected.</param>
/// <param name="Result">The result that then held.</param>
internal sealed record FeedResult(long Index, DateTimeOffset At, string Specimen, double? ExpectedFlashCelsius, RunResult Result);
