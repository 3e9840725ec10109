using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Service.Archive;
using Acquire.Service.Live;

namespace Acquire.Service.Lanes.Archiving;

/// <summary>One thing to be archived and then announced.</summary>
/// <param name="Run">The run's timeline, to which it is announced.</param>
internal abstract record JournalEntry(RunTimeline Run)
{
    /// <summary>The command that waits for this entry to be archived; null where none does.</summary>
    public LaneCommand? AskedBy { get; init; }
}

/// <summary>A run begins.</summary>
internal sealed record RunBegins(RunTimeline Run, RunHeader Header) : JournalEntry(Run);

/// <summary>Rows came.</summary>
internal sealed record RowsCame(RunTimeline Run, ReadOnlyMemory<ReadingRow> Rows) : JournalEntry(Run);

/// <summary>The supervisor stated facts.</summary>
internal sealed record FactsStated(RunTimeline Run, IReadOnlyList<RunOutput> Facts) : JournalEntry(Run);

/// <summary>A run ends.</summary>
internal sealed record RunEnds(RunTimeline Run, DateTimeOffset ClosedAt, RunResult Result) : JournalEntry(Run);

/// <summary>The lane gave a run up without a result.</summary>
internal sealed record RunGivenUp(RunTimeline Run, DateTimeOffset At, RunInterrupted Why) : JournalEntry(Run);
