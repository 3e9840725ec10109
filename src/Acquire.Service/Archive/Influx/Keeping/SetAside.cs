using Acquire.Service.Archive.Influx.Lines;

namespace Acquire.Service.Archive.Influx.Keeping;

/// <summary>Records that were not taken and are not tried again by themselves. They are in the archive: only where, and why, is kept.</summary>
/// <param name="Run">Number of the run.</param>
/// <param name="RunId">Its id.</param>
/// <param name="Kind">What of it.</param>
/// <param name="First">The first record.</param>
/// <param name="Count">How many in a row.</param>
/// <param name="Status">HTTP status of the answer; 0 where the record was never sent.</param>
/// <param name="Words">The server's words, or ours.</param>
/// <param name="At">When, UTC.</param>
internal sealed record SetAside(long Run, string RunId, LineKind Kind, long First, long Count, int Status, string Words, DateTimeOffset At)
{
    /// <summary>Longest words that are kept, characters.</summary>
    public const int LongestWords = 300;

    /// <summary>The record behind the last.</summary>
    public long End => First + Count;
}
