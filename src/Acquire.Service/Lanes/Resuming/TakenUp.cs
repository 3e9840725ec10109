using Acquire.Core.Readings;
using Acquire.Core.Runs;

namespace Acquire.Service.Lanes.Resuming;

/// <summary>A run that its lane goes on with.</summary>
/// <param name="Run">The run, with its state made anew.</param>
/// <param name="Fact">That it was taken up, for its record.</param>
/// <param name="Facts">All facts that the record gives, in order.</param>
/// <param name="Rows">All its rows.</param>
/// <param name="RowsAwaited">How long its next row is waited for.</param>
internal sealed record TakenUp(OpenRun Run, RunResumed Fact, IReadOnlyList<RunOutput> Facts, IReadOnlyList<ReadingRow> Rows, TimeSpan RowsAwaited);
