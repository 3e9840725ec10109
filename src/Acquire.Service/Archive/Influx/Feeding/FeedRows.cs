using Acquire.Core.Readings;

namespace Acquire.Service.Archive.Influx.Feeding;

/// <summary>Where in a run's rows to go on.</summary>
/// <param name="Chunk">Chunk that holds the next row.</param>
/// <param name="Row">Index of the next row in the run.</param>
internal readonly record struct RowPlace(long Chunk, long Row);

/// <summary>A stretch of a run's rows, or of what is there in their place.</summary>
/// <param name="First">Index of the first row.</param>
/// <param name="Rows">The rows, in order.</param>
/// <param name="Next">Where to go on.</param>
/// <param name="Missing">Rows before <paramref name="First"/> that cannot be read.</param>
/// <param name="Fault">Why they cannot; null where none are missing.</param>
internal sealed record FeedRows(long First, ReadOnlyMemory<ReadingRow> Rows, RowPlace Next, long Missing = 0, string? Fault = null);
